"""Pure functions on SI floats: what a cylinder holds, how long it lasts, what its instruments can and cannot show.

Nothing here reads a file, a clock or a setting, and nothing here prints: the modules can be read, tested and signed as
one unit by a clinical engineer. Each public function's docstring is its engineering record.
"""
