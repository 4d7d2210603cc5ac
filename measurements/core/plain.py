"""Frozen dataclasses to plain dictionaries and back, for storing them as text."""

from __future__ import annotations

import dataclasses
import math
import types
import typing
from collections.abc import Mapping
from functools import cache
from typing import Any


class NotPlainError(ValueError):
    """A value cannot be stored as plain data, or stored data does not fit; says where."""


def to_plain(value: Any) -> Any:
    """Dictionaries, lists, text, numbers, booleans and None only; refuses NaN and infinity."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): to_plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [to_plain(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        raise NotPlainError(f"{value!r} is not a number that can be stored")
    if value is None or isinstance(value, (str, int, float, bool)):
        return value
    raise NotPlainError(f"{value!r} ({type(value).__name__}) is not plain data")


def from_plain(cls: Any, data: Any, where: str = "") -> Any:
    """Build `cls` (a dataclass or an annotated type) from what `to_plain` made.

    Unknown keys are refused, missing ones take the dataclass's default. `where` leads the error.
    """
    origin = typing.get_origin(cls)
    if cls is Any:
        return data
    if origin is typing.Literal:
        if data not in typing.get_args(cls):
            raise NotPlainError(f"{where}: {data!r} is none of {list(typing.get_args(cls))}")
        return data
    if origin in (typing.Union, types.UnionType):
        if data is None:
            return None
        options = [arg for arg in typing.get_args(cls) if arg is not type(None)]
        if len(options) == 1:
            return from_plain(options[0], data, where)
        if set(options) <= {str, int, float, bool}:
            return _scalar(tuple(options), data, where)
        raise NotPlainError(f"{where}: cannot choose among {options}")
    if origin is tuple:
        item = typing.get_args(cls)[0]
        return tuple(from_plain(item, part, f"{where}[{i}]") for i, part in _listed(data, where))
    if origin is not None and issubclass(origin, Mapping):
        _, item = typing.get_args(cls)
        if not isinstance(data, Mapping):
            raise NotPlainError(f"{where}: {data!r} is not a set of named values")
        return {key: from_plain(item, part, f"{where}.{key}") for key, part in data.items()}
    if dataclasses.is_dataclass(cls):
        return _dataclass(cls, data, where)
    return _scalar((cls,), data, where)


def _dataclass(cls: Any, data: Any, where: str) -> Any:
    if not isinstance(data, Mapping):
        raise NotPlainError(f"{where or cls.__name__}: {data!r} is not a set of named values")
    hints = _hints(cls)
    unknown = sorted(data.keys() - hints.keys())
    if unknown:
        raise NotPlainError(f"{where or cls.__name__}: unknown {unknown}; known are {[*hints]}")
    built = {
        name: from_plain(hint, data[name], f"{where}.{name}" if where else name)
        for name, hint in hints.items()
        if name in data
    }
    try:
        return cls(**built)
    except TypeError as fault:
        raise NotPlainError(f"{where or cls.__name__}: {fault}") from fault


@cache
def _hints(cls: Any) -> dict[str, Any]:
    """The annotated type of each field. Looking them up costs more than all the rest."""
    hints = typing.get_type_hints(cls)
    return {field.name: hints[field.name] for field in dataclasses.fields(cls)}


def _listed(data: Any, where: str) -> enumerate[Any]:
    if not isinstance(data, (list, tuple)):
        raise NotPlainError(f"{where}: {data!r} is not a list")
    return enumerate(data)


def _scalar(types_allowed: tuple[Any, ...], data: Any, where: str) -> Any:
    if float in types_allowed and isinstance(data, int) and not isinstance(data, bool):
        return data if int in types_allowed else float(data)
    if isinstance(data, bool) and bool not in types_allowed:
        raise NotPlainError(f"{where}: {data!r} is not allowed here")
    if isinstance(data, float) and not math.isfinite(data):
        raise NotPlainError(f"{where}: {data!r} is not a number that can be stored")
    if isinstance(data, types_allowed):
        return data
    names = " or ".join(allowed.__name__ for allowed in types_allowed)
    raise NotPlainError(f"{where}: {data!r} is not {names}")
