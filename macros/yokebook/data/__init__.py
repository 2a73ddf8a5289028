"""The department's data: its YAML files, read strictly, as frozen models in SI units, and checked one against another.

`load.load` reads a folder; `lookup.look_up` finds one value by its key; `sources.Sources` knows where each key stands.
"""
