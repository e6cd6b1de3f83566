"""Runs the program in a folder of its own that is gone afterwards."""
import json
import os
import pathlib
import shutil
import subprocess
import tempfile
import warnings

from .results import load
from .toml import toml_text


class PlenairError(ValueError):
    """A case that cannot be computed; `messages` has one line for each thing to mend."""

    def __init__(self, text, status):
        self.messages = [line for line in text.splitlines() if line.strip()]
        self.status = status
        super().__init__(text.strip() or f"plenair ended with status {status}")


class NotConverged(UserWarning):
    """Some points are no result: `converged` is 0 there."""


def _executable():
    named = os.environ.get("PLENAIR") or shutil.which("plenair")
    if not named:
        raise FileNotFoundError("plenair is not on PATH; install it, or name it in the environment "
                                "variable PLENAIR")
    return os.path.abspath(shutil.which(named) or named)  # it runs in another folder


def _run(words, folder=None):
    done = subprocess.run([_executable(), *words], cwd=folder, stdin=subprocess.DEVNULL, text=True,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    if done.returncode == 3:
        warnings.warn(done.stderr.strip() or "not converged", NotConverged, stacklevel=4)
    elif done.returncode != 0:
        raise PlenairError(done.stderr, done.returncode)
    return done.stdout


def _case_path(case, folder):
    """Path of a case file: as given, or written into the folder."""
    if isinstance(case, dict):
        case = toml_text(case)
    elif isinstance(case, os.PathLike) or (isinstance(case, str) and "\n" not in case):
        return str(pathlib.Path(case).absolute())
    if not isinstance(case, str):
        raise TypeError("a case is a path, the text of a case file, or a dictionary, not a "
                        f"{type(case).__name__}")
    # Named without its folder, so that messages name "case.toml".
    pathlib.Path(folder, "case.toml").write_text(case, encoding="utf-8")
    return "case.toml"


def _sets(entries):
    words = []
    for key, value in (entries or {}).items():
        if not isinstance(value, str):
            value = toml_text({"v": value}).removeprefix("v = ").strip()
        words += ["--set", f"{key}={value}"]
    return words


def _compute(verb, case, entries, options):
    with tempfile.TemporaryDirectory(prefix="plenair-") as folder:
        result = os.path.join(folder, "result.h5")
        _run([verb, "--quiet", "-o", result, *options, *_sets(entries), _case_path(case, folder)], folder)
        return load(result)


def _common(bands, threads):
    words = [] if bands is None else ["--bands", "on" if bands else "off"]
    return words + ([] if threads is None else ["--threads", str(threads)])


def solve(case, set=None, bands=None, traces=False, threads=None):
    """Each cylinder's share of the air at every point, as xarray.Dataset.

    case     path, text or dictionary
    set      entries to override, {"slot.width": "8 mm"}
    bands    bands of the shares from what is not known exactly; None: as the program has it
    traces   keep pressures and flows against crank angle
    Raises PlenairError with every fault of the case; warns NotConverged.
    """
    return _compute("solve", case, set, _common(bands, threads) + (["--traces"] if traces else []))


def bench(case, set=None, bands=None):
    """The parts on a flow bench, as xarray.Dataset."""
    return _compute("bench", case, set, _common(bands, None))


def sweep(case, vary=None, set=None, threads=None):
    """Every variant of the case's [sweep], as xarray.Dataset; `vary` adds entries to it,
    {"slot.width": ["4 mm", "6 mm", "8 mm"]} or {"slot.width": {"from": "3 mm", "to": "9 mm", "steps": 7}}.
    """
    entries = dict(set or {})
    for key, values in (vary or {}).items():
        entries[f"sweep.{key}"] = list(values) if not isinstance(values, (dict, str)) else values
    return _compute("sweep", case, entries, _common(None, threads))


def check(case, set=None):
    """Derived numbers, warnings and assumed entries, as the dictionary of `plenair check --json`."""
    with tempfile.TemporaryDirectory(prefix="plenair-") as folder:
        return json.loads(_run(["check", "--json", *_sets(set), _case_path(case, folder)], folder))


def start(like=None, inches=False, set=None, **answers):
    """Text of a case file from what is known: start(cylinders=4, bore="86 mm", stroke="86 mm").

    The answers are the options of `plenair start` with _ for -; what is not stated is assumed and marked.
    """
    words = ["start", "--assume"] + (["--inches"] if inches else []) + (["--like", like] if like else [])
    for name, value in answers.items():
        words += [f"--{name.replace('_', '-')}", str(value)]
    return _run(words + _sets(set))


def version():
    """As `plenair --version` says it."""
    return _run(["--version"]).strip()
