"""plenair from Python: cases in, labelled arrays with units out.

    import plenair
    result = plenair.solve("case.toml", set={"slot.width": "8 mm"})     # xarray.Dataset
    print(result.bias.sel(point="A4"))
    plenair.plot_air(result).figure.savefig("air.png")                  # with matplotlib

A case is a path, the text of a case file, or a dictionary of its sections. The program `plenair` does
the work: the same numbers as on the command line, bit by bit. It is taken from the environment variable
PLENAIR, else from PATH.
"""
from .figures import plot_air, plot_losses, plot_pressure, plot_slot_flow, plot_speed, plot_sweep
from .program import NotConverged, PlenairError, bench, check, solve, start, sweep, version
from .results import load
from .toml import toml_text

__all__ = ["NotConverged", "PlenairError", "bench", "check", "load", "plot_air", "plot_losses",
           "plot_pressure", "plot_slot_flow", "plot_speed", "plot_sweep", "solve", "start", "sweep",
           "toml_text", "version"]
