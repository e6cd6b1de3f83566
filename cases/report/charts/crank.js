import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import { axes, canvas, dashes, drawingWidth, endLabels, plain, reach, roomFor, series, signed } from "./frame.js";

const samples = 361, step = 2, columnWidth = 26;
const angles = Array.from({ length: samples }, (_, i) => i * step);
const places = ["start", "middle", "end"];

/** The curve of a trace: the page holds whole steps, each less the one before it. */
function curve(trace) {
    let at = 0;
    return { ...trace, value: trace.changes.map((change) => (at += change) / trace.steps_per_unit) };
}

/** Traces by what they are. A valve draws where more flows through it than a hundredth of its peak. */
function understand(point) {
    const traces = point.traces.map(curve);
    const of = (quantity) => traces.filter((t) => t.quantity === quantity);
    return { velocity: of("runner_mouth_velocity"), valve: of("intake_valve_flow"), pressures: of("plenum_pressure") };
}

/** Numbers joined as words: "1", "1 and 3", "1, 3 and 4". */
function joined(numbers) {
    if (numbers.length < 2) return numbers.join("");
    return `${numbers.slice(0, -1).join(", ")} and ${numbers[numbers.length - 1]}`;
}

/** Crank angles to name: every quarter turn, on a narrow screen every half. */
const quarters = (room) => Array.from({ length: 9 }, (_, i) => 90 * i).filter((_, i) => room > 320 || i % 2 === 0);

function chartOver(svg, box, lines, names, format) {
    const x = scaleLinear([0, 720], [box.left, box.right]);
    const y = scaleLinear(reach([...(names.zero ? [0] : []), ...lines.flatMap((l) => l.value)]),
        [box.bottom, box.top]);
    axes(svg, box, x, y, { ...names, xValues: quarters(box.right - box.left) }, format);
    if (names.zero) {
        svg.append("line").attr("class", "zero").attr("x1", box.left).attr("x2", box.right)
            .attr("y1", y(0)).attr("y2", y(0));
    }
    lines.forEach((l, n) => {
        svg.append("path").attr("class", `line mark ${series(n)}`).attr("stroke-dasharray", dashes[n % 8])
            .attr("d", line()(angles.map((a, i) => [x(a), y(l.value[i])])));
    });
    endLabels(svg, lines.map((l, n) => ({
        x: box.right, y: y(l.value[samples - 1]), text: l.name, style: series(n),
    })), box);
    const cursor = svg.append("line").attr("class", "cursor").attr("y1", box.top).attr("y2", box.bottom);
    return (i) => cursor.attr("x1", x(angles[i])).attr("x2", x(angles[i]));
}

/** The plenum at one moment: pressure along it, and the air in the runners as columns. */
function moment(svg, box, seen, runners) {
    const parts = [...new Set(seen.pressures.map((p) => p.part))];
    const cylinders = seen.velocity.map((t) => t.cylinder);
    const known = (c) => runners.find((r) => r.cylinder === c);
    const order = [...cylinders].sort((a, b) => (known(a) ? known(a).x : a) - (known(b) ? known(b).x : b));
    const several = new Set(runners.map((r) => r.bank)).size > 1;
    const pitch = (box.right - box.left) / order.length;
    const xs = runners.map((r) => r.x);
    const along = scaleLinear([Math.min(...xs), Math.max(...xs)], [box.left + 0.5 * pitch, box.right - 0.5 * pitch]);
    // Mouths side by side, or of several banks, stand in their order alone.
    const apart = order.every((c, i) => i === 0 || !known(c) || !known(order[i - 1])
        || along(known(c).x) - along(known(order[i - 1]).x) > columnWidth + 4);
    const place = !several && xs.length > 1 && apart ? along : null;
    const at = (c) => (place && known(c) ? place(known(c).x) : box.left + (order.indexOf(c) + 0.5) * pitch);
    const nearest = Math.min(box.right - box.left, ...order.slice(1).map((c, i) => at(c) - at(order[i])));
    const peak = Math.max(1, ...seen.velocity.flatMap((t) => t.value.map(Math.abs)));
    const mean = (t) => t.value.reduce((a, b) => a + b, 0) / t.value.length;
    const swings = seen.pressures.map((p) => ({ ...p, mean: mean(p) }));
    const swing = Math.max(0.1, ...swings.flatMap((p) => p.value.map((v) => Math.abs(v - p.mean))));
    const wall = box.top + 92;
    const p = scaleLinear([-swing, swing], [wall - 10, box.top + 12]);
    const v = scaleLinear([0, peak], [0, box.bottom - wall - 26]);
    svg.append("text").attr("class", "axis-name").attr("x", 2).attr("y", box.top - 12)
        .text(`${parts.length > 1 ? "plenums" : "plenum"}: pressure against its mean, kPa`);
    svg.append("rect").attr("class", "wall").attr("x", box.left).attr("y", box.top)
        .attr("width", box.right - box.left).attr("height", wall - box.top);
    svg.append("line").attr("class", "rule").attr("x1", box.left).attr("x2", box.right)
        .attr("y1", p(0)).attr("y2", p(0));
    svg.append("text").attr("class", "axis-name").attr("x", box.right + 6).attr("y", p(swing) + 8)
        .text(`+${swing.toFixed(1)}`);
    svg.append("text").attr("class", "axis-name").attr("x", box.right + 6).attr("y", p(-swing) + 2)
        .text(plain(-swing, 1));
    const across = { start: box.left + 4, middle: 0.5 * (box.left + box.right), end: box.right - 4 };
    const curves = parts.map((part, n) => ({
        shown: swings.filter((s) => s.part === part),
        path: svg.append("path").attr("class", `line ${series(n)}`).attr("stroke-dasharray", dashes[n % 8]),
        dots: places.map(() => svg.append("circle").attr("class", `fill ${series(n)}`).attr("r", 4)),
    }));
    if (parts.length > 1) {
        const names = svg.append("text").attr("class", "axis-name over").attr("x", box.left + 6).attr("y", wall - 6);
        parts.forEach((part, n) => names.append("tspan").attr("class", `fill ${series(n)}`)
            .attr("dx", n > 0 ? 8 : 0).text(part.replace(/ plenum$/, "")));
    }
    const columns = order.map((c) => {
        const n = cylinders.indexOf(c);
        svg.append("rect").attr("class", "wall").attr("x", at(c) - columnWidth / 2).attr("y", wall).attr("width", columnWidth)
            .attr("height", box.bottom - wall - 24).attr("stroke-opacity", 0.5);
        return {
            n, c,
            bar: svg.append("rect").attr("class", `fill column ${series(n)}`).attr("x", at(c) - columnWidth / 2).attr("width", columnWidth),
            word: svg.append("text").attr("class", "axis-name").attr("text-anchor", "middle")
                .attr("x", at(c)).attr("y", box.bottom - 6),
        };
    });
    return (i, drawing) => {
        for (const curve of curves) {
            const points = curve.shown.map((s) => [across[s.place], p(s.value[i] - s.mean)]);
            curve.path.attr("d", line()(points));
            curve.dots.forEach((dot, k) => points[k] && dot.attr("cx", points[k][0]).attr("cy", points[k][1]));
        }
        for (const { n, c, bar, word } of columns) {
            const speed = seen.velocity[n].value[i], tall = v(Math.abs(speed));
            // Air that flows back into the plenum stands as a hollow column.
            bar.attr("y", wall).attr("height", tall).attr("fill-opacity", speed < 0 ? 0.25 : 1);
            word.classed("draws", drawing.includes(c)).text(
                nearest > 116 ? `${drawing.includes(c) ? "\u25BC " : ""}cyl. ${c}: ${plain(speed, 0)} m/s`
                    : `${drawing.includes(c) ? "\u25BC" : ""}${c}`);
        }
    };
}

/** Draws all at one point. Returns a function that moves everything to a sample and gives the words. */
export function crankView(plot, label, point, runners) {
    const seen = understand(point);
    const width = drawingWidth(plot), height = 800;
    const svg = canvas(width, height, `${label} at ${point.name}`);
    const several = new Set(seen.pressures.map((p) => p.part)).size > 1;
    const placeNames = { start: "x = 0", middle: "middle", end: "far end" };
    const nameOf = (p) => (several ? `${p.part}, ${placeNames[p.place]}` : placeNames[p.place]);
    const right = width - roomFor(["cyl. 8", ...seen.pressures.map(nameOf)]);
    const move = moment(svg, { left: 46, right: width - 54, top: 28, bottom: 250 }, seen, runners);
    const velocity = chartOver(svg, { left: 46, right, top: 300, bottom: 490 },
        seen.velocity.map((t) => ({ name: `cyl. ${t.cylinder}`, value: t.value })),
        { x: "crank angle, degrees", y: "velocity in the runner mouth, m/s", zero: true }, { y: (v) => plain(v, 0) });
    const pressure = chartOver(svg, { left: 46, right, top: 570, bottom: height - 46 },
        seen.pressures.map((p) => ({ name: nameOf(p), value: p.value })),
        { x: "crank angle, degrees", y: `pressure in the plenum${several ? "s" : ""} at three places, kPa` },
        { y: (v) => plain(v, 0) });
    plot.replaceChildren(svg.node());
    plot.numbers = () => ({ name: label, rows: [["line", "crank angle, degrees", "value"],
        ...[...seen.velocity.map((t) => ({ name: `cyl. ${t.cylinder} mouth velocity, m/s`, value: t.value })),
            ...seen.pressures.map((p) => ({ name: `${nameOf(p)} pressure, kPa`, value: p.value }))]
            .flatMap((t) => t.value.map((v, i) => [t.name, angles[i], v]))] });
    const peaks = seen.valve.map((t) => Math.max(...t.value));
    return (i) => {
        const drawing = seen.valve.filter((t, n) => t.value[i] > 0.01 * peaks[n]).map((t) => t.cylinder);
        const back = seen.valve.filter((t, n) => t.value[i] < -0.01 * peaks[n]).map((t) => t.cylinder);
        move(i, drawing);
        velocity(i);
        pressure(i);
        const leans = [...new Set(seen.pressures.map((p) => p.part))].map((part) => {
            const at = (place) => seen.pressures.find((p) => p.part === part && p.place === place);
            return at("start") && at("end")
                ? `Far end of the ${part} ${signed(at("end").value[i] - at("start").value[i], 1)} kPa against x = 0.` : "";
        }).filter((text) => text !== "");
        const speeds = seen.velocity.map((t) => `${t.cylinder}: ${plain(t.value[i], 0)}`).join(", ");
        return `${angles[i]}\u00B0: ` +
            (drawing.length ? `cylinder${drawing.length > 1 ? "s" : ""} ${joined(drawing)} draw${drawing.length > 1 ? "" : "s"}`
                : "no cylinder draws") +
            (back.length ? `, ${joined(back)} push${back.length > 1 ? "" : "es"} air back` : "") +
            `. ${leans.join(" ")}`.trimEnd() + (speeds ? ` Mouth velocity in m/s by cylinder: ${speeds}.` : "");
    };
}

export const lastSample = samples - 1;
export const angleStep = step;
