"""The department's data as a whole."""

from __future__ import annotations

from dataclasses import dataclass, field

from yokebook.data.cylinders import Cylinder
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Machine
from yokebook.data.places import Place, Scale
from yokebook.data.settings import Settings
from yokebook.data.sources import Sources
from yokebook.data.uses import Use
from yokebook.quantities import AbsolutePa


@dataclass(frozen=True)
class Entries:
    """The entries of all files but `department.yaml`, by name, in the order written.

    `broken` holds (file, name) of each entry that could not be read, and (file, "") of a file that could not: what
    refers to one of them is not wrong for that.
    """

    sources: Sources
    cylinders: dict[str, Cylinder] = field(default_factory=dict)
    gauges: dict[str, Gauge] = field(default_factory=dict)
    machines: dict[str, Machine] = field(default_factory=dict)
    uses: dict[str, Use] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    scales: dict[str, Scale] = field(default_factory=dict)
    broken: frozenset[tuple[str, str]] = frozenset()

    def is_broken(self, file: str, name: str = "") -> bool:
        """True where an entry, or its whole file, could not be read and was reported."""
        return (file, name) in self.broken or (file, "") in self.broken


@dataclass(frozen=True)
class Department:
    """One department: its settings, the ambient pressure that its gauges count from, and its entries."""

    settings: Settings
    ambient: AbsolutePa
    entries: Entries

    @property
    def cylinders(self) -> dict[str, Cylinder]:
        """The kinds of cylinder, by name."""
        return self.entries.cylinders

    @property
    def gauges(self) -> dict[str, Gauge]:
        """The gauges, by name."""
        return self.entries.gauges

    @property
    def machines(self) -> dict[str, Machine]:
        """The machines, by name."""
        return self.entries.machines

    def called(self, machine: str) -> str:
        """Return what readers call a machine; its name itself where the data has none of that name."""
        return self.machines[machine].called if machine in self.machines else machine

    @property
    def uses(self) -> dict[str, Use]:
        """The uses, by name."""
        return self.entries.uses

    @property
    def places(self) -> dict[str, Place]:
        """The places, by name."""
        return self.entries.places

    @property
    def scales(self) -> dict[str, Scale]:
        """The scales, by name."""
        return self.entries.scales

    @property
    def sources(self) -> Sources:
        """Where each key stands."""
        return self.entries.sources
