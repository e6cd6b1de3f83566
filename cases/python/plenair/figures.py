"""The usual figures of a result, drawn by matplotlib.

Each function takes a dataset of `load`, `solve`, `bench` or `sweep`, draws on `ax`, or on a figure of its
own where that is None, and returns the axes: `plenair.plot_air(result).figure.savefig("air.png")`. Values
are in the units that people read; points that did not converge are left out. ValueError where the result
does not hold what a figure needs; ImportError without matplotlib, loaded only when a figure is asked for.
"""
import numpy

from .drawing import (axes_for, band_of, colours, dashes, few, held_number, label_of, legend, marks,
                      names_of, points_of, rpm, unit, where_held)

_losses = {"throttle_loss": "throttle", "slot_loss": "slot", "mouth_loss": "bell mouths",
           "port_loss": "runner and port"}


def plot_air(result, points=None, along_x=False, ax=None):
    """Bias of each cylinder in percent, side by side for up to 8 points; error bars are its band at 95 %.

    Cylinders by their numbers, or `along_x`, bank by bank.
    """
    held, along = points_of(result, points)
    bias, band = held_number(few(held, along), "bias"), band_of(held, "bias")
    place = numpy.arange(result.sizes["cylinder"])
    order = numpy.lexsort((result.place_along_x, result.bank_of_cylinder)) if along_x else place
    ax, wide = axes_for(ax, result), 0.8 / held.sizes[along]
    for i, name in enumerate(names_of(held, along)):
        half = None if band is None or not band[i] > 0 else 100 * float(band[i])
        ax.bar(place - 0.4 + (i + 0.5) * wide, 100 * bias[i].values[order], 0.9 * wide, yerr=half,
               label=name, color=colours[i], alpha=0.75, ecolor="#20262c", capsize=12 * min(wide, 0.3),
               error_kw={"elinewidth": 1.2})
    ax.axhline(0, color="#20262c", linewidth=0.8)
    ax.set_xticks(place, result.cylinder.values[order])
    ax.grid(visible=False, axis="x")
    ax.set_xlabel("cylinder, along x of each bank" if along_x else "cylinder")
    ax.set_ylabel(label_of(bias, "" if band is None else "\nwith its band at 95 %"))
    return legend(ax)


def plot_speed(result, quantity="spread", curve=None, ax=None):
    """A number of the points over engine speed with its band at 95 %; of "bias" a line for each cylinder,
    without bands. Points of a curve are joined, others are marks with their names. `curve`: only this one.
    """
    held, along = points_of(result)
    curves = held.point_curve.values if "point_curve" in held else numpy.full(held.sizes[along], "")
    curves = curves.astype(str)
    array, band = held_number(held, quantity), band_of(held, quantity)
    if array.dtype.kind not in "fi" or set(array.dims) not in ({along}, {along, "cylinder"}):
        raise ValueError(f"{quantity} is no number of the points or of their cylinders")
    array = array.transpose(along, ...)
    if curve is not None and curve not in curves:
        raise ValueError(f"the result holds no curve {curve}")
    if not bool(numpy.isfinite(array).any()):
        raise ValueError(f"{quantity} was not computed")
    single, factor, ax = array.ndim == 1, unit(array)[1], axes_for(ax, result)
    band = band if single else None
    groups = sorted(set(curves), key=lambda name: (name == "", name)) if curve is None else [curve]
    for j, name in enumerate(groups):
        some = numpy.flatnonzero(curves == name)
        some = some[numpy.argsort(held.speed.values[some], kind="stable")]
        speeds, values = rpm * held.speed.values[some], factor * array.values[some].reshape(some.size, -1)
        half = None if band is None else factor * band.values[some]
        group = name or ("single points" if len(groups) > 1 else "")
        dash = dashes[j % 4] if name else "none"
        for i, line in enumerate(values.T):
            pen, who = (j, "") if single else (i, f"cylinder {held.cylinder.values[i]}")
            ax.errorbar(speeds, line, None if name else half, capsize=3, color=colours[pen % 8],
                        linestyle=dash, marker=marks[pen % 8], markersize=4 if name else 6,
                        label=", ".join(filter(None, (who, group))))
            if name and half is not None:
                ax.fill_between(speeds, line - half, line + half, color=colours[pen % 8], alpha=0.15,
                                linewidth=0)
        for k, speed, value in zip(some, speeds, values[:, 0]) if single and not name else ():
            ax.annotate(held[along].values[k], (speed, value), (6, 4), textcoords="offset points",
                        fontsize="small")
    ax.set_xlabel(label_of(held.speed))
    ax.set_ylabel(label_of(array, "" if band is None else "\nwith its band at 95 %"))
    return legend(ax)


def plot_losses(result, points=None, ax=None):
    """Where total pressure is lost, in kPa: a stacked bar for each point."""
    held, along = points_of(result, points)
    ax, left = axes_for(ax, result, (7.2, 1.6 + 0.36 * held.sizes[along])), numpy.zeros(held.sizes[along])
    for i, name in enumerate(_losses):
        loss = 1e-3 * held_number(held, name).values
        if loss.any():
            ax.barh(range(left.size), loss, 0.65, left=left, color=colours[i], label=_losses[name])
            left = left + loss
    ax.set_yticks(range(left.size), names_of(held, along))
    ax.invert_yaxis()
    ax.grid(visible=False, axis="y")
    ax.set_xlabel("loss of total pressure, kPa")
    return legend(ax)


def plot_slot_flow(result, points=None, ax=None):
    """Flow along the slot of each bank, a line for each of up to 8 points or set-ups of a bench."""
    held, along = points_of(result, points)
    names = [name for name in held.data_vars if name.endswith("flow_per_length")]
    held = few(where_held(held, along, names, "flow along a slot"), along)
    ax = axes_for(ax, result)
    for j, name in enumerate(names):
        x = held["slot_x" if name == "flow_per_length" else name.replace("flow_per_length", "x")]
        for i, label in enumerate(names_of(held, along)):
            bank = held[name].attrs.get("bank", "")
            ax.plot(1e3 * (x[i] if x.ndim > 1 else x).values, held[name][i].values, dashes[j % 4],
                    color=colours[i], label=f"{label}, {bank}" if bank else label)
    ax.axhline(0, color="#20262c", linewidth=0.8)
    ax.set_xlabel("place along the slot, mm")
    ax.set_ylabel(label_of(held[names[0]]))
    return legend(ax)


def plot_pressure(result, point=None, swing=False, ax=None):
    """Static pressure along the chambers, mean over a cycle, at the point or set-up of that name, else the
    first; with `swing` also from lowest to highest over the cycle.
    """
    held, along = points_of(result, point)
    names = [name for name in held.data_vars if name.endswith(("_pressure_mean", "static_pressure"))]
    held = where_held(held, along, names, "pressure along a chamber").isel({along: [0]})
    ax = axes_for(ax, result)
    for i, name in enumerate(names):
        x = held["pressure_x" if name == "static_pressure" else name.replace("pressure_mean", "x")]
        x = 1e3 * x.values.ravel()
        ax.plot(x, 1e-3 * held[name].values.ravel(), dashes[i % 4], color=colours[i % 8],
                label=held[name].attrs.get("part", "header"))
        if swing and name.endswith("_mean"):
            low, high = (held[name.replace("_mean", end)].values.ravel() for end in ("_low", "_high"))
            ax.fill_between(x, 1e-3 * low, 1e-3 * high, color=colours[i % 8], alpha=0.15, linewidth=0)
    ax.set_xlabel("place along the chamber, mm")
    ax.set_ylabel("static pressure, kPa" + ("\nmean, lowest and highest of the cycle" if swing else ""))
    return legend(ax, title=names_of(held, along)[0])


def plot_sweep(result, x, y="spread", points=None, ax=None):
    """A number of the points of a sweep over another: marks, a colour for each of up to 8 points.

    x, y: names in the dataset, "slot_loss", or swept entries of the case, "slot.width".
    """
    held, along = points_of(result, points, variants=True)
    x, y = (f"input_{name.replace('.', '_')}" if "." in name else name for name in (x, y))
    x, y = held_number(few(held, along), x), held_number(held, y)
    if more := (set(x.dims) | set(y.dims)) - {"variant", along}:
        raise ValueError(f"pick one {more.pop()}: result.sel(...)")
    ax = axes_for(ax, result)
    for i, name in enumerate(held[along].values):
        good = held.isel({along: i}).converged.values == 1
        at, of = ((a.isel({along: i}) if along in a.dims else a).values[good] for a in (x, y))
        at, of = (v if v.dtype.kind in "OU" else unit(a)[1] * v for v, a in ((at, x), (of, y)))
        ax.plot(at, of, linestyle="none", marker=marks[i], color=colours[i], label=name)
    ax.set_xlabel(label_of(x))
    ax.set_ylabel(label_of(y))
    return legend(ax)
