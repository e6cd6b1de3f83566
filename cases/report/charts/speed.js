import { scaleLinear } from "d3-scale";
import { line, symbol, symbolCircle, symbolDiamond, symbolSquare, symbolTriangle, symbolCross,
    symbolStar, symbolWye } from "d3-shape";
import { axes, canvas, dashes, drawingWidth, endLabels, plain, reach, series, signed } from "./frame.js";
import { readable } from "./values.js";

const marks = [symbolCircle, symbolSquare, symbolTriangle, symbolDiamond, symbolCross, symbolStar, symbolWye,
    symbolCircle];

/** Of points at one speed only the one with the highest pressure stays on the line. */
function onLine(points) {
    const best = new Map();
    for (const p of points) {
        const other = best.get(p.rpm);
        if (!other || p.kpa > other.kpa) best.set(p.rpm, p);
    }
    return [...best.values()].sort((a, b) => a.rpm - b.rpm);
}

/** Lines over speed. lines: [{name, spoken, points: [{rpm, kpa, value, at}]}] */
function draw(plot, label, lines, options) {
    const width = drawingWidth(plot), height = 330;
    const area = { left: 46, right: width - options.room, top: 30, bottom: height - 46 };
    const all = lines.flatMap((l) => l.points);
    const x = scaleLinear(reach(all.map((p) => p.rpm), 0.04), [area.left, area.right]);
    const y = scaleLinear(options.domain(all.map((p) => p.value)), [area.bottom, area.top]).nice();
    const svg = canvas(width, height, label);
    if (options.band) {
        svg.append("rect").attr("class", "band").attr("x", area.left).attr("width", area.right - area.left)
            .attr("y", y(options.band)).attr("height", y(-options.band) - y(options.band));
    }
    axes(svg, area, x, y, { x: "engine speed, rpm", y: options.name },
        { x: (v) => String(v), y: options.format });
    if (options.band) {
        svg.append("line").attr("class", "zero").attr("x1", area.left).attr("x2", area.right)
            .attr("y1", y(0)).attr("y2", y(0));
    }
    const labels = [];
    lines.forEach((l, n) => {
        const path = onLine(l.points);
        if (path.length === 0) return;
        svg.append("path").attr("class", `line ${series(n)}`).attr("stroke-dasharray", dashes[n % 8])
            .attr("d", line().x((p) => x(p.rpm)).y((p) => y(p.value))(path));
        const shape = symbol().type(marks[n % 8]).size(54)();
        for (const p of l.points) {
            svg.append("path").attr("class", `mark fill ${series(n)}`).attr("d", shape)
                .attr("transform", `translate(${x(p.rpm)},${y(p.value)})`)
                .append("title").text(`${l.spoken} at ${p.at}: ${options.format(p.value)} %`);
        }
        const last = path[path.length - 1];
        labels.push({ x: x(last.rpm), y: y(last.value), text: l.name, style: series(n) });
    });
    endLabels(svg, labels, area);
    const output = readable(plot, svg, {
        name: label, area, unit: options.name, format: (v) => `${options.format(v)} %`,
        x: { name: "engine speed, rpm", scale: x, format: (v) => String(v) },
        lines: lines.map((l) => ({ name: l.spoken, points: onLine(l.points).map((p) => [p.rpm, p.value]) })),
    });
    plot.replaceChildren(svg.node(), ...(output ? [output] : []));
}

/** Bias of each cylinder against speed. */
export function biasAgainstSpeed(plot, label, result) {
    const points = result.points.filter((p) => p.converged);
    const numbers = [...new Set(points.flatMap((p) => p.cylinders.map((c) => c.number)))].sort((a, b) => a - b);
    const lines = numbers.map((number) => ({
        name: `cyl. ${number}`,
        spoken: `cylinder ${number}`,
        points: points.flatMap((p) => p.cylinders.filter((c) => c.number === number)
            .map((c) => ({ rpm: p.rpm, kpa: p.kpa, value: c.bias, at: p.name }))),
    }));
    draw(plot, label, lines, {
        room: 62, name: "bias, % of the mean air", format: (v) => signed(v),
        band: Math.max(...points.map((p) => p.band)), domain: (v) => reach([0, ...v]),
    });
}

/** Spread of each result against speed. */
export function spreads(plot, label, results) {
    const lines = results.map((result, n) => ({
        name: String.fromCharCode(65 + (n % 26)),
        spoken: result.name,
        points: result.points.filter((p) => p.converged)
            .map((p) => ({ rpm: p.rpm, kpa: p.kpa, value: p.spread, at: p.name })),
    }));
    draw(plot, label, lines, {
        room: 36, name: "spread, %", format: (v) => plain(v),
        domain: (v) => [0, Math.max(...v) * 1.05],
    });
}
