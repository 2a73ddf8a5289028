"""The base of all models of the data: frozen, closed, and able to say all that is wrong with an entry at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, ClassVar, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    ModelWrapValidatorHandler,
    PrivateAttr,
    ValidatorFunctionWrapHandler,
    field_validator,
    model_validator,
)
from pydantic.fields import FieldInfo

from yokebook.data.faults import BROKEN, EMPTY, NO_VALUE, Fault, Path, StillBrokenError, refuse
from yokebook.errors import nearest

Check = tuple[tuple[str, ...], Callable[[Any], Iterator[Fault]]]
"""A check over several fields of an entry: the fields whose values it needs, and what yields its faults."""


class Entry(BaseModel):
    """Keys and values of the data that belong together; nothing beside the fields named here is accepted."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    what: ClassVar[str] = "this"
    part: ClassVar[str] = "key"
    checks: ClassVar[tuple[Check, ...]] = ()

    @classmethod
    def keys(cls) -> dict[str, FieldInfo]:
        """Return the fields by the key that an author writes."""
        return {field.alias or name: field for name, field in cls.model_fields.items()}

    @classmethod
    def example_of(cls, path: Path) -> str:
        """Return the example of the field that a path leads to, "" where it has none."""
        field = cls.keys().get(str(path[0])) if path else None
        if field is None:
            return ""
        if len(path) == 1:
            return str(field.examples[0]) if field.examples else ""
        inner, listed = _inner(field.annotation)
        return inner.example_of(path[2:] if listed else path[1:]) if inner else ""

    @field_validator("*", mode="wrap")
    @classmethod
    def _field(cls, value: Any, read: ValidatorFunctionWrapHandler) -> Any:
        if value is BROKEN:
            return value
        if value is EMPTY:
            refuse([NO_VALUE])
        return read(value)

    @model_validator(mode="wrap")
    @classmethod
    def _whole(cls, value: Any, read: ModelWrapValidatorHandler[Any]) -> Any:
        if value is BROKEN:
            return value
        if value is EMPTY:
            refuse([NO_VALUE])
        if not isinstance(value, dict):
            refuse([Fault("E203", f"keys and values are wanted for {cls.what}", allowed=", ".join(cls.keys()))])
        unknown = list(cls._unknown(value))
        misspelt = {fault.suggestion for fault in unknown}
        if faults := unknown + [fault for fault in cls._missing(value) if fault.at[0] not in misspelt]:
            refuse(faults)
        entry = read(value)
        if faults := list(entry._checked()):
            refuse(faults)
        return entry

    @classmethod
    def _unknown(cls, value: dict[str, Any]) -> Iterator[Fault]:
        keys = cls.keys()
        for key in value:
            if key not in keys:
                free = [name for name in keys if name not in value]
                meant = nearest(key, free)
                yield Fault(
                    "E201", f"{cls.what} has no such {cls.part}", (key,), on_key=True, allowed=", ".join(keys),
                    example=_line(meant or next(iter(free or keys)), keys), suggestion=meant,
                )  # fmt: skip

    @classmethod
    def _missing(cls, value: dict[str, Any]) -> Iterator[Fault]:
        for key, field in cls.keys().items():
            if field.is_required() and key not in value:
                yield missing(key, cls)

    def _checked(self) -> Iterator[Fault]:
        for needs, check in self.checks:
            if any(getattr(self, name) is BROKEN for name in needs):
                continue
            try:
                yield from list(check(self))
            except StillBrokenError:
                continue


class Named(Entry):
    """An entry that its file lists under a name of its own."""

    _key: str = PrivateAttr("")

    def model_post_init(self, context: Any) -> None:
        self._key = (context or {}).get("key", "")

    @property
    def key(self) -> str:
        """The name under which the entry stands in its file."""
        return self._key


def missing(key: str, model: type[Entry], because: str = "") -> Fault:
    """Return the fault of a key that is needed and is not there."""
    field = model.keys()[key]
    reason = because or field.description
    wrong = f"{key} is missing" + (f": {reason}" if reason else "")
    return Fault("E202", wrong, (key,), written="", allowed=", ".join(model.keys()), example=_line(key, model.keys()))


def _line(key: str, keys: dict[str, FieldInfo]) -> str:
    examples = keys[key].examples
    return f"{key}: {examples[0]}" if examples else f"{key}: ..."


def _inner(annotation: Any) -> tuple[type[Entry] | None, bool]:
    """Return the model within a field's type, and whether a name or a number stands before its keys."""
    if isinstance(annotation, type) and issubclass(annotation, Entry):
        return annotation, False
    listed = getattr(annotation, "__origin__", None) in (dict, tuple)
    for argument in get_args(annotation):
        inner, deeper = _inner(argument)
        if inner:
            return inner, listed or deeper
    return None, False
