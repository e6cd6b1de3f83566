"""What the figures share: axes, units, labels, and which points are drawn."""
import math
import textwrap

import numpy

# Of the report's lines (cases/report/svg/curve.cpp): colour-blind eyes tell them apart.
colours = ("#17508f", "#d1600a", "#128573", "#8a2a6d", "#30353b", "#3b94cc", "#947600", "#c75f8b")
dashes, marks = ("-", "--", ":", "-."), "osD^vPX*"
rpm = 30 / math.pi  # of 1 rad/s
_shown = {"Pa": ("kPa", 1e-3), "rad s-1": ("rpm", rpm), "kg s-1": ("g/s", 1e3), "kg": ("mg", 1e6),
          "m": ("mm", 1e3), "m2": ("mm2", 1e6), "kg s-1 m-1": ("g/s per mm", 1.0), "m s-1": ("m/s", 1.0)}
_percent = ("bias", "spread", "share_error", "air_band")  # of the ratios, these are read in percent


def axes_for(ax, result, size=(7.2, 4.2)):
    """The axes given, or those of a new figure under the title of the case; `size` in inches."""
    if ax is None:
        try:
            from matplotlib import pyplot
        except ImportError as error:
            raise ImportError("figures need matplotlib; install Debian's package "
                              "python3-matplotlib") from error
        ax = pyplot.subplots(figsize=size, layout="constrained")[1]
        ax.set_title(textwrap.fill(str(result.attrs.get("title", "")), 70), loc="left", fontsize="medium")
    ax.spines[["top", "right"]].set_visible(False)
    ax.grid(color="#c9cfd5", linewidth=0.6)
    ax.set_axisbelow(True)
    return ax


def legend(ax, title=None):
    """Beside the axes, where it hides nothing."""
    if any(ax.get_legend_handles_labels()[1]):
        ax.legend(title=title, loc="upper left", bbox_to_anchor=(1.01, 1.0), frameon=False,
                  fontsize="small", title_fontsize="small", alignment="left", handlelength=2.8)
    return ax


def unit(array):
    """The unit that a person reads, and the factor to it."""
    units = array.attrs.get("units", "1")
    if units == "1":
        return ("%", 100.0) if any(word in array.name for word in _percent) else ("", 1.0)
    return _shown.get(units, (units, 1.0))


def label_of(array, more=""):
    """What a number is and its unit, on lines that fit beside the axes; `more` on lines of its own."""
    words = array.attrs["long_name"].removesuffix(", 0: not computed")
    return textwrap.fill(", ".join(filter(None, (words, unit(array)[0]))), 48) + more


def held_number(result, name):
    """A number of the result, NaN where 0 says that it was not computed."""
    if name not in result.data_vars:
        raise ValueError(f"the result holds no {name}; it holds {', '.join(sorted(result.data_vars))}")
    zero_is_none = name.startswith("no_slot") or name.endswith("_band")
    return result[name].where(result[name] != 0) if zero_is_none else result[name]


def band_of(result, name):
    """Half width at 95 % of a number's band, in its unit, NaN where not computed; None: it has none."""
    key = "air_band" if name == "air_flow" else f"{name}_band"
    if key not in result or not bool((result[key] > 0).any()):
        return None
    return held_number(result, key) * (result.air_flow if name == "air_flow" else 1.0)


def points_of(result, points=None, variants=False):
    """The result at the points (or set-ups) named, as far as they converged, and their dimension."""
    along = "set_up" if "set_up" in result.coords else "point"
    if along not in result.coords:
        raise ValueError("a figure needs a result of solve, bench or sweep")
    if ("variant" in result.dims) != variants:
        raise ValueError("this figure needs a result of sweep" if variants else
                         "pick one variant of the sweep: result.sel(variant=1)")
    if along not in result.dims:
        result = result.expand_dims(along)  # one, picked by .sel
    if points is not None:
        wanted = [points] if isinstance(points, str) else list(points)
        if unknown := [name for name in wanted if name not in result[along].values]:
            raise ValueError(f"no {along} {', '.join(map(str, unknown))}; "
                             f"there are {', '.join(result[along].values)}")
        result = result.sel({along: wanted})
    if not variants:
        result = result.isel({along: result.converged.values == 1})
    if result.sizes[along] == 0:
        raise ValueError("no point of the result converged")
    return result, along


def few(held, along):
    """The same result, if its points have colours enough."""
    if held.sizes[along] > len(colours):
        raise ValueError(f"{held.sizes[along]} points are too many for one figure; "
                         f"name up to {len(colours)}: points=[...]")
    return held


def where_held(held, along, names, what):
    """The points at which the first of these numbers along x is known."""
    if names:
        first = held[names[0]].transpose(along, ...)
        held = held.isel({along: numpy.isfinite(first.values).any(axis=1)})
    if not names or held.sizes[along] == 0:
        raise ValueError(f"the result holds no {what}")
    return held


def names_of(held, along):
    """"A4, 8600 rpm" of each point; one of a curve has the speed in its name."""
    speeds = held.speed.values * rpm if "speed" in held else [None] * held.sizes[along]
    return [name if "@" in name or speed is None else f"{name}, {speed:.0f} rpm"
            for name, speed in zip(held[along].values, speeds)]
