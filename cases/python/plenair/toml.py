"""A dictionary as the text of a case file."""
import json
import math
import re

_bare = re.compile(r"^[A-Za-z0-9_-]+$")


def _key(name):
    return name if _bare.match(name) else json.dumps(name)


def _value(value, where):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value)
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    if hasattr(value, "item") and not isinstance(value, (list, tuple)) and getattr(value, "ndim", 0) == 0:
        return _value(value.item(), where)
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{where}: {value} is no number that a case may hold")
        return repr(value)
    if isinstance(value, dict):
        inside = ", ".join(f"{_key(k)} = {_value(v, f'{where}.{k}')}" for k, v in value.items())
        return "{ " + inside + " }" if inside else "{}"
    if isinstance(value, (list, tuple)) or hasattr(value, "tolist"):
        items = value if isinstance(value, (list, tuple)) else value.tolist()
        return "[" + ", ".join(_value(item, where) for item in items) + "]"
    raise TypeError(f"{where}: a {type(value).__name__} cannot stand in a case; "
                    "write text with a unit, a number, a list or a dictionary")


def toml_text(case):
    """Text of a case file. Each value is text with its unit, a number, a list, or a dictionary; a list
    of dictionaries ("point") is a list of tables."""
    if not isinstance(case, dict):
        raise TypeError(f"a case is a dictionary of its sections, not a {type(case).__name__}")
    return "".join(f"{_key(name)} = {_value(value, name)}\n" for name, value in case.items())
