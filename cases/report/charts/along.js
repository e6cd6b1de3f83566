import { scaleLinear } from "d3-scale";
import { area as areaShape, line } from "d3-shape";
import { axes, canvas, dashes, drawingWidth, endLabels, plain, reach, roomFor, series } from "./frame.js";
import { readable } from "./values.js";

/** Triangles with cylinder numbers where the runners stand; those of one place share a mark. */
function runnerMarks(svg, x, y, runners) {
    const places = new Map();
    for (const r of runners) {
        const at = Math.round(x(r.x));
        places.set(at, [...(places.get(at) || []), r]);
    }
    // Where neighbours would touch, every second one stands a line higher.
    const at = [...places.keys()].sort((a, b) => a - b);
    const words = (place) => places.get(place).map((r) => r.cylinder).join(", ");
    const room = (place) => 7 * words(place).length + 4;
    const tight = at.some((place, i) => i > 0 && place - at[i - 1] < 0.5 * (room(place) + room(at[i - 1])));
    at.forEach((place, i) => {
        svg.append("path").attr("class", "runner").attr("d", `M${place},${y - 9}l5,9h-10z`);
        svg.append("text").attr("class", "axis-name").attr("text-anchor", "middle")
            .attr("x", place).attr("y", y - (tight && i % 2 ? 26 : 13)).text(words(place));
    });
}

function frameOf(svg, box, xs, values, name, runners, options = {}) {
    // Runners may stand beyond the ends of a slot.
    const x = scaleLinear(reach([...xs, ...runners.map((r) => r.x)], 0.02), [box.left, box.right]);
    const y = scaleLinear(reach(values, 0.1), [box.bottom - 26, box.top]);
    axes(svg, box, x, y, { x: `x, ${options.unit || "mm"}`, y: name }, { y: options.format });
    runnerMarks(svg, x, box.bottom, runners);
    return { x, y };
}

function partLines(svg, box, scale, parts, value) {
    const labels = parts.map((part, n) => {
        const points = part.x.map((at, i) => [scale.x(at), scale.y(value(part)[i])]);
        svg.append("path").attr("class", `line mark ${series(n)}`).attr("stroke-dasharray", dashes[n % 8])
            .attr("d", line()(points));
        const last = points[points.length - 1];
        return { x: last[0], y: last[1], text: part.part, style: series(n) };
    });
    endLabels(svg, labels, box);
}

/** Static pressure along the parts at one point: cycle mean, and below it the range. */
export function pressureAlong(plot, label, point, runners) {
    const width = drawingWidth(plot), height = 560, parts = point.pressures, unit = parts[0]?.unit;
    const svg = canvas(width, height, `${label} at ${point.name}`);
    const right = width - roomFor(parts.map((p) => p.part));
    const xs = parts.flatMap((p) => p.x);
    const upper = { left: 58, right, top: 30, bottom: 240 };
    const lower = { left: 58, right, top: 316, bottom: height - 46 };
    const means = frameOf(svg, upper, xs, parts.flatMap((p) => p.mean), "cycle mean, kPa", runners,
        { unit, format: (v) => plain(v, 1) });
    partLines(svg, upper, means, parts, (p) => p.mean);
    const range = frameOf(svg, lower, xs, parts.flatMap((p) => [...p.low, ...p.high]),
        "lowest to highest over the cycle, kPa", runners, { unit, format: (v) => plain(v, 0) });
    parts.forEach((part, n) => {
        svg.append("path").attr("class", `area mark fill ${series(n)}`)
            .attr("d", areaShape().x((d) => range.x(d[0])).y0((d) => range.y(d[1])).y1((d) => range.y(d[2]))(
                part.x.map((at, i) => [at, part.low[i], part.high[i]])));
        for (const edge of [part.low, part.high]) {
            svg.append("path").attr("class", `line ${series(n)}`).attr("stroke-dasharray", dashes[n % 8])
                .attr("d", line()(part.x.map((at, i) => [range.x(at), range.y(edge[i])])));
        }
    });
    endLabels(svg, parts.map((p, n) => ({
        x: range.x(p.x[p.x.length - 1]), y: range.y(p.high[p.high.length - 1]), text: p.part, style: series(n),
    })), lower);
    const output = readable(plot, svg, {
        name: `${label} at ${point.name}`, area: { top: upper.top, bottom: lower.bottom }, unit: "cycle mean, kPa",
        format: (v) => `${plain(v, 2)} kPa`, x: { name: `x, ${unit}`, scale: means.x, format: (v) => plain(v, 1) },
        lines: parts.map((part) => ({ name: part.part, points: part.x.map((at, i) => [at, part.mean[i]]) })),
    });
    plot.replaceChildren(svg.node(), ...(output ? [output] : []));
}

/** Slot flow along x of all points, over the mean of each. */
export function slotAlong(plot, label, points, runners) {
    const width = drawingWidth(plot), height = 340;
    const box = { left: 50, right: width - roomFor(points.flatMap((p) => p.slots.map((slot) => (p.slots.length > 1 ? `${p.name}, ${slot.bank}` : p.name)))), top: 30, bottom: height - 46 };
    const svg = canvas(width, height, label);
    const lines = points.flatMap((p) => p.slots.map((slot, s) => ({
        name: p.slots.length > 1 ? `${p.name}, ${slot.bank || s + 1}` : p.name, ...slot,
    })));
    const scale = frameOf(svg, box, lines.flatMap((l) => l.x), [1, ...lines.flatMap((l) => l.flow)],
        "slot flow per length over its mean", runners, { unit: lines[0]?.unit, format: (v) => plain(v, 2) });
    svg.append("line").attr("class", "rule").attr("x1", box.left).attr("x2", box.right)
        .attr("y1", scale.y(1)).attr("y2", scale.y(1));
    const labels = lines.map((l, n) => {
        const path = l.x.map((at, i) => [scale.x(at), scale.y(l.flow[i])]);
        svg.append("path").attr("class", `line mark ${series(n)}`).attr("stroke-dasharray", dashes[n % 8])
            .attr("d", line()(path));
        const last = path[path.length - 1];
        return { x: last[0], y: last[1], text: l.name, style: series(n) };
    });
    endLabels(svg, labels, box);
    const output = readable(plot, svg, {
        name: label, area: box, unit: "slot flow per length over its mean", format: (v) => plain(v, 3),
        x: { name: `x, ${lines[0]?.unit || "mm"}`, scale: scale.x, format: (v) => plain(v, 1) },
        lines: lines.map((l) => ({ name: l.name, points: l.x.map((at, i) => [at, l.flow[i]]) })),
    });
    plot.replaceChildren(svg.node(), ...(output ? [output] : []));
}
