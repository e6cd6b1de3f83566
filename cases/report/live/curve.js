import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import { axes, canvas, drawingWidth, plain, reach } from "../charts/frame.js";

export const stations = 11;

/** Values along the track of a number, its ends included. */
export function curveValues(number) {
    const steps = Math.round((number.high - number.low) / number.step);
    return Array.from({ length: stations }, (_, i) => Number(
        (number.low + Math.round((i * steps) / (stations - 1)) * number.step).toFixed(number.decimals)));
}

function rule(svg, x, box, style) {
    svg.append("line").attr("class", style).attr("x1", x).attr("x2", x).attr("y1", box.top).attr("y2", box.bottom);
}

function plotted(svg, box, points, options) {
    const { number, unit, now, target, names, value, style } = options;
    const known = points.filter((p) => p.ok);
    const x = scaleLinear([number.low, number.high], [box.left, box.right]);
    const [, top] = reach(known.map(value), 0.15);
    const y = scaleLinear([0, Math.max(top, target ? 1.15 * target : 0, 1e-3)], [box.bottom, box.top]).nice();
    axes(svg, box, x, y, { x: `${number.label}, ${unit}`, y: names }, { x: String, y: (v) => plain(v) });
    rule(svg, x(number.value), box, "rule");
    if (Number.isFinite(now) && now >= number.low && now <= number.high) rule(svg, x(now), box, "cursor");
    if (target) {
        svg.append("line").attr("class", "target-line").attr("x1", box.left).attr("x2", box.right)
            .attr("y1", y(target)).attr("y2", y(target));
        svg.append("text").attr("class", "end").attr("text-anchor", "end").attr("x", box.right)
            .attr("y", y(target) - 4).text(`target ${target} %`);
    }
    svg.append("path").attr("class", `line ${style}`)
        .attr("d", line().defined((p) => p.ok).x((p) => x(p.at)).y((p) => y(value(p)))(points));
    for (const p of known) {
        svg.append("circle").attr("class", `mark fill ${style}`).attr("cx", x(p.at)).attr("cy", y(value(p))).attr("r", 3);
    }
}

/** Spread, with the line of its target, and loss against one number.
 *  points: [{at, ok, spread, loss}] in the order of `at` */
export function drawCurve(plot, points, { number, unit, now, target }) {
    if (!points.some((p) => p.ok)) {
        plot.replaceChildren();
        return;
    }
    const width = drawingWidth(plot), height = 430;
    const svg = canvas(width, height, `Spread and loss against ${number.label}`);
    const box = (top) => ({ left: 46, right: width - 16, top, bottom: top + 130 });
    plotted(svg, box(28), points, { number, unit, now, target, names: "spread, %", value: (p) => p.spread, style: "s0" });
    plotted(svg, box(240), points, { number, unit, now,
        names: "losses of throttle, slot and bell mouths, kPa", value: (p) => p.loss, style: "s1" });
    plot.replaceChildren(svg.node());
}
