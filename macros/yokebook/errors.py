"""What goes wrong, as values: a problem at an author's line, and a quantity outside the range of a formula."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import IntEnum


class Level(IntEnum):
    """How much a problem weighs. Only errors stop a build."""

    ERROR = 0
    WARNING = 1
    NOTE = 2

    @property
    def word(self) -> str:
        """The level as a reader sees it."""
        return self.name.lower()


TITLES: dict[str, str] = {
    # The text of a file.
    "E001": "file not readable",
    "E002": "not YAML",
    "E003": "doubled key",
    "E004": "part of YAML not used here",
    "E005": "no keys and values",
    "E810": "conflict not settled",
    "E812": "character that nobody sees",
    # One number with its unit.
    "E101": "not a quantity",
    "E102": "decimal comma",
    "E103": "number in pieces",
    "E104": "missing unit",
    "E105": "unknown unit",
    "E106": "unit of another kind",
    "E107": "gauge or absolute",
    "E108": "impossible value",
    # The department's data, each entry by itself.
    "E201": "unknown key",
    "E202": "missing key",
    "E203": "wrong shape",
    "E204": "no value",
    "E205": "word not in the list",
    "E206": "unknown gas",
    "E207": "not true or false",
    "E208": "not a date",
    "E209": "not a plain number",
    "E210": "plain number out of bounds",
    "E211": "name of an entry",
    "E212": "out of order",
    "E213": "ambient pressure or altitude",
    "E214": "size without country",
    "E215": "mixture without fractions",
    "E216": "fractions of another gas",
    "E217": "fractions not 100 percent",
    "E218": "filling by pressure and ratio",
    "E219": "filling of the other kind of gas",
    "E220": "liquefied gas without tare",
    "E221": "accuracy not in one form",
    "E222": "unknown accuracy class",
    "E223": "unit other than the dial's",
    "E224": "draw not of one kind",
    "E225": "use that draws nothing",
    "E226": "yoke both used and not used",
    "E227": "drive flow without drive gas",
    "E228": "gauge of a pin-indexed cylinder",
    "E229": "no reason",
    "E230": "not a review interval",
    "E231": "not a web address",
    "E232": "found error without date",
    "E233": "missing file",
    "E234": "scale interval wider than the span",
    "E235": "not two measured outlets",
    "E236": "measured inlets too close together",
    "E237": "measured outlet not below its inlet",
    "E238": "measured inlet that cannot be",
    "E239": "file without entries",
    # The department's data, one entry against another.
    "E240": "name that leads nowhere",
    "E241": "cylinder of another gas",
    "E242": "integral valve in a yoke",
    "E243": "filling above the dial",
    "E244": "indicator threshold off the dial",
    "E245": "keep-back above the filling",
    "E246": "use of a gas without a cylinder",
    "E247": "drive gas of no machine",
    "E248": "machine without a supply",
    "E249": "drive gas without a source",
    "E250": "outside what can be computed",
    # Values of the department's data that cannot be, though each is a quantity of its kind.
    "E261": "ambient pressure of no place",
    "E262": "reference state of no flowmeter",
    "E263": "accuracy without an error",
    "E264": "filling pressure too low",
    "E265": "filling ratio too high",
    "E266": "too many marks on a dial",
    "E267": "drive gas drawn twice",
    "E268": "draw of nothing",
    "E269": "below sea level",
    "E270": "fewer roles than approvals",
    "E271": "gauge of another gas",
    "E272": "cylinder too large for a yoke",
    "E273": "flow of no machine",
    "E274": "supply pressure of no machine",
    "E275": "accuracy class of a laboratory",
    "E276": "change time that cannot be",
    "E277": "unusual dial multiplier",
    "E278": "trapped volume of no machine",
    "E791": "time in hand that cannot be",
    # Words of the department's data that readers read.
    "E781": "number in the title of a use",
    "E782": "label of another machine",
    "E796": "gas of a flowmeter not known",
    "E798": "flowmeter without fresh gas",
    "E799": "tolerance as large as the flow",
    "E811": "temperature of no place",
    # Calls and pages.
    "E501": "call not understood",
    "E502": "more than one call",
    "E503": "argument without its name",
    "E504": "doubled argument",
    "E505": "missing comma",
    "E506": "lists too deep",
    "E507": "call not closed",
    "E508": "word kept for the program",
    "E509": "call in a place where none can be",
    "E510": "front matter missing",
    "E511": "not the number of a procedure",
    "E512": "name that the data does not have",
    "E513": "number of another page",
    # What a call asks for.
    "E520": "unknown call",
    "E521": "name that leads nowhere",
    "E522": "gauge not clear",
    "E523": "accuracy of the gauge unknown",
    "E524": "reading off the dial",
    "E525": "reading above a full cylinder",
    "E526": "liquefied gas by its reading",
    "E527": "mixture too cold",
    "E528": "use that does not belong here",
    "E529": "too few or too many",
    "E530": "outside what can be worked out",
    "E531": "longer than a full cylinder lasts",
    "E532": "cylinder that gives too little",
    "E533": "machine without a spare",
    "E534": "yokes not alike",
    "E536": "reading between the marks",
    "E541": "weight above a full cylinder",
    "E542": "no tare to weigh by",
    "E543": "weight below the tare",
    "E544": "weight that the scale does not show",
    "E545": "compressed gas without a plateau",
    "E546": "liquid may be left",
    "E547": "outlet not measured",
    "E548": "yoke not clear",
    "E551": "units that do not go together",
    "E552": "no number to read",
    "E553": "not on this machine",
    "E554": "reading that rises",
    "E555": "valve without pins",
    "E556": "dial of another gas",
    "E557": "end of the pin index not known",
    "E558": "flow that no flowmeter is set to",
    "E795": "drawn faster than the room warms",
    "E797": "flow of a mixture",
    # The text of a page beside its calls.
    "E561": "indent that ends a list",
    "E562": "number typed in the text",
    "E563": "link that leads nowhere",
    "E564": "anchor that is not there",
    "E565": "file that is not there",
    "E566": "link of a kind not used here",
    "E567": "page too large",
    "E568": "too many calls",
    "E569": "text too tangled",
    "E570": "call in the front matter",
    "E571": "step printed with another number",
    "E572": "code never closed",
    "E573": "braces of no call",
    "E574": "list not read as one",
    "E575": "HTML without its partner",
    "E576": "box not read as one",
    "E577": "unknown kind of box",
    "E578": "box without text",
    "E579": "cell that no column takes",
    "E580": "table not read as one",
    "W780": "bound turned round",
    "E813": "page under another ending",
    "E814": "file of a kind not published",
    "W810": "file that no page uses",
    "W812": "call shown as code",
    "W813": "mark of no list",
    "W814": "heading without a space",
    # Sheets of paper.
    "E581": "more than a card holds",
    "E790": "no rule when to change a cylinder",
    # Incidents, and people who must not be told from a page.
    "E771": "incident in the wrong place",
    "E772": "days out of order",
    "E773": "closed too early",
    "E774": "procedure that no page has",
    "W771": "what looks like a person",
    "W772": "false alarm that is none",
    "W773": "still the example",
    "W774": "name that cannot be published",
    "W775": "issue that does not name its incident",
    # The site.
    "E601": "site not built",
    "E602": "fault of the program",
    "E603": "PDF not made",
    # The published reference: the folder in which editions are published, and what keeps one from being published.
    "E610": "folder of another kind",
    "E611": "somebody else at work",
    "E612": "list of editions not as it was",
    "E613": "folder that refuses",
    "E614": "records of another state",
    "E615": "before the last edition",
    "E616": "not approved as it is",
    "E617": "numbers on a page without a number",
    "E618": "call left over",
    "E619": "name that cannot be published",
    "E620": "edition not whole",
    "E621": "nothing to withdraw",
    "E622": "published already",
    "E623": "nothing new to publish",
    "E624": "day too far off",
    "E625": "in force before it was approved",
    "E626": "what looks like a person, in what is to be published",
    "E627": "examples, in what is to be published",
    "E628": "not to be used instead",
    # The department's records of what it approved and published.
    "E701": "numbers not in a row",
    "E702": "not a digest",
    "E703": "days out of order",
    "E704": "approved twice by one person",
    "E705": "procedure without a page",
    "E706": "incident without a page",
    "E707": "not what was approved",
    "E708": "edition with an unknown issue",
    "E709": "more than wording renewed",
    # The register of laminated cards.
    "E830": "day still to come",
    "E831": "record changed after it was published",
    "E751": "card without a page",
    "E752": "copy registered twice",
    "E753": "issue that the card never had",
    "E754": "card of another machine",
    "W751": "card to take down",
    "W752": "cards without a register",
    "E800": "keep-back of a pin-indexed cylinder",
    # Warnings about the data.
    "W301": "unknown file",
    "W302": "dial without headroom",
    "W303": "unusual scale interval",
    "W304": "span not whole intervals",
    "W305": "keep-back within the gauge's error",
    "W306": "keep-back near the stop",
    "W307": "regulated pressure not below the pipeline's",
    "W308": "keep-back below the regulated pressure",
    "W309": "gauge outside its accuracy",
    "W310": "answer to nothing",
    "W311": "indicator red too late",
    "W312": "mixture may separate",
    "W313": "few marks on a dial",
    "W795": "small tolerance of a flowmeter",
    "W796": "flowmeter of another gas",
    "W811": "unlikely day",
    # Warnings about the records.
    "W701": "file that is no record",
    "W702": "not approved",
    "W703": "role that is not there any more",
    # Recommendations and what is unusual, each answered with a reason.
    "N401": "accuracy unknown",
    "N402": "no oxygen yoke",
    "N403": "no nitrous oxide yoke",
    "N404": "one oxygen yoke without pipeline",
    "N405": "no regulated pressure",
    "N406": "two regulated pressures for one gas",
    "N407": "drive gas not measured",
    "N408": "yoke without plug",
    "N409": "no water capacity tolerance",
    "N410": "unusual water capacity",
    "N411": "hardly any gas drawn",
    "N412": "little drive gas",
    "N413": "unusual temperature",
    "N414": "wide range of temperature",
    "N415": "accuracy finer than the dial",
    "N416": "accuracy class of a test gauge",
    "N417": "small flowmeter tolerance",
    "N418": "high filling ratio",
    "N419": "unusual ambient pressure",
    "N420": "unusual filling temperature",
    "N421": "unusual tare",
    "N422": "unusual trapped volume",
    "N423": "unusual supply pressure",
    "N800": "gauge never checked",
}
"""What each code stands for, in a few words. A code never changes its meaning; the letter is the level."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing to mend, at its place, in words for a nurse educator.

    Lines and columns count from 1 (columns in characters); line 0 stands for the file as a whole.
    Problems sort by place, then by weight, so that one report reads from top to bottom of each file.
    """

    file: str
    line: int
    column: int
    level: Level
    code: str
    wrong: str
    written: str = ""
    allowed: str = ""
    example: str = ""
    suggestion: str = ""

    def moved(self, file: str, line: int, column: int) -> Problem:
        """Return the same problem at another place."""
        return replace(self, file=file, line=line, column=column)


class ProblemError(Exception):
    """Carries problems out of a place that cannot go on with what it was given."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.file}:{p.line}:{p.column}: {p.code} {p.wrong}" for p in self.problems))


class Collector:
    """Gathers the problems of one run; says each once and sorted, however often and in whatever order it came."""

    def __init__(self) -> None:
        self._problems: set[Problem] = set()

    def add(self, *problems: Problem) -> None:
        """Take in problems."""
        self._problems.update(problems)

    def __iter__(self) -> Iterator[Problem]:
        return iter(sorted(self._problems))

    def __len__(self) -> int:
        return len(self._problems)

    @property
    def stops_the_build(self) -> bool:
        """True where at least one problem is an error."""
        return any(problem.level is Level.ERROR for problem in self._problems)


class OutOfRange(ValueError):
    """A quantity lies where a formula does not hold, or where no real cylinder can be.

    Raised by `physics/` alone, in SI units; whoever called adds its name, file, line and column.
    `low` or `high` is None where that side has no limit.
    """

    def __init__(
        self,
        quantity: str,
        value: float,
        unit: str,
        *,
        low: float | None = None,
        high: float | None = None,
        reason: str = "",
    ) -> None:
        self.quantity = quantity
        self.value = value
        self.unit = unit
        self.low = low
        self.high = high
        self.reason = reason
        super().__init__(f"{quantity} {value!r} {unit}: allowed {low!r} to {high!r}. {reason}".rstrip())


def nearest(word: str, allowed: Iterable[str]) -> str:
    """Return the allowed word that a misspelt one most likely meant, or "" where none is close.

    >>> nearest("water_capasity", ["water_capacity", "filling"])
    'water_capacity'
    >>> nearest("zebra", ["water_capacity", "filling"])
    ''
    """
    matches = get_close_matches(word.lower(), sorted(allowed), n=1, cutoff=0.6)
    return matches[0] if matches else ""
