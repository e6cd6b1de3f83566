import { scaleLinear, scalePoint } from "d3-scale";
import { line } from "d3-shape";
import { axes, canvas, drawingWidth, plain, reach } from "./frame.js";

/** The variants of a page, which of them is chosen, and who wants to know. */
class Choice {
    constructor(overview) {
        this.overview = overview;
        this.index = -1;
        this.listeners = [];
        this.place = document.getElementById("chosen");
    }

    choose(index) {
        this.index = Math.max(0, Math.min(this.overview.variants.length - 1, index));
        const v = this.overview.variants[this.index];
        const words = this.overview.inputs.map((input, i) => `${input.key} ${typeof v.values[i] === "number"
            ? Number(v.values[i].toPrecision(6)) : v.values[i]}${input.unit ? ` ${input.unit}` : ""}`).join(", ");
        const said = document.createElement("p");
        said.textContent = `Variant ${v.n}: ${words}; worst spread ${plain(v.y, 2)} % at ${v.at}, losses ${
            plain(v.x, 2)} %, air ${plain(v.air, 1)} g/s${v.front ? "; on the front" : ""}.`;
        const set = document.createElement("p");
        set.className = "written";
        set.textContent = v.set || "Its valve events cannot be written as options: see the sweep's CSV.";
        this.place.replaceChildren(said, set);
        if (v.set && navigator.clipboard) {
            const copy = document.createElement("button");
            copy.type = "button";
            copy.textContent = "Copy as --set options";
            copy.addEventListener("click", () => navigator.clipboard.writeText(v.set).then(
                () => { copy.textContent = "Copied"; }, () => { copy.textContent = "Copy the line above by hand"; }));
            this.place.append(copy);
        }
        for (const listener of this.listeners) listener(v, this.index);
    }
}

let choice = null;
const choiceOf = (overview) => { choice = choice || new Choice(overview); return choice; };

/** Arrow keys step through the ranking. */
function keys(picture, chosen) {
    picture.setAttribute("tabindex", "0");
    picture.addEventListener("keydown", (event) => {
        const last = chosen.overview.variants.length - 1;
        const to = { ArrowLeft: chosen.index - 1, ArrowUp: chosen.index - 1, ArrowRight: chosen.index + 1,
            ArrowDown: chosen.index + 1, Home: 0, End: last }[event.key];
        if (to === undefined) return;
        event.preventDefault();
        chosen.choose(to);
    });
    picture.addEventListener("focus", () => { if (picture.matches(":focus-visible") && chosen.index < 0) chosen.choose(0); });
}

export function overviewScatter(plot, label, overview) {
    const chosen = choiceOf(overview), all = overview.variants;
    const draw = () => {
        const width = drawingWidth(plot), height = 420;
        const area = { left: 46, right: width - 20, top: 30, bottom: height - 46 };
        const svg = canvas(width, height, label);
        const x = scaleLinear(reach(all.map((v) => v.x), 0.05), [area.left, area.right]).nice();
        const y = scaleLinear([0, 1.06 * Math.max(overview.target, ...all.map((v) => v.y))], [area.bottom, area.top]).nice();
        axes(svg, area, x, y, { x: "losses, % of the pressure before the throttle", y: "worst spread, %" },
            { x: (v) => plain(v, 1), y: (v) => plain(v, 1) });
        svg.append("line").attr("class", "target-line").attr("x1", area.left).attr("x2", area.right)
            .attr("y1", y(overview.target)).attr("y2", y(overview.target));
        svg.append("text").attr("class", "axis-name").attr("x", area.right).attr("text-anchor", "end")
            .attr("y", y(overview.target) - 5).text(`target ${plain(overview.target, 1)} %`);
        const front = all.filter((v) => v.front).sort((a, b) => a.x - b.x);
        svg.append("path").attr("class", "line front-line").attr("d", line()(front.map((v) => [x(v.x), y(v.y)])));
        // The front lies over the others.
        for (const v of [...all.filter((v) => !v.front), ...front]) {
            svg.append("circle").attr("class", `mark dot${v.front ? " front" : ""}`).attr("cx", x(v.x)).attr("cy", y(v.y))
                .attr("r", v.front ? 5 : 3.5).append("title").text(`variant ${v.n}: spread ${plain(v.y, 2)} %, losses ${plain(v.x, 2)} %`);
        }
        const ring = svg.append("circle").attr("class", "ring").attr("r", 9).attr("visibility", "hidden");
        const mark = (v) => ring.attr("cx", x(v.x)).attr("cy", y(v.y)).attr("visibility", "visible");
        const picture = svg.node();
        const at = (event) => {
            const box = picture.getBoundingClientRect(), zoom = width / box.width;
            const px = (event.clientX - box.left) * zoom, py = (event.clientY - box.top) * zoom;
            const far = all.map((v) => Math.hypot(x(v.x) - px, y(v.y) - py));
            const near = far.indexOf(Math.min(...far));
            return far[near] < 40 ? near : -1;
        };
        picture.addEventListener("click", (event) => { const near = at(event); if (near >= 0) chosen.choose(near); });
        keys(picture, chosen);
        chosen.listeners[0] = mark;
        if (chosen.index >= 0) mark(all[chosen.index]);
        plot.replaceChildren(picture);
        plot.numbers = () => ({ name: label, rows: [
            ["variant", ...overview.inputs.map((i) => i.key + (i.unit ? `, ${i.unit}` : "")), "worst spread, %", "at", "losses, %", "air flow, g/s", "front", "options"],
            ...all.map((v) => [v.n, ...v.values, v.y, v.at, v.x, v.air, v.front ? 1 : 0, v.set])] });
    };
    return draw;
}

/** One axis for each entry and each answer, side by side. */
export function overviewParallel(plot, label, overview) {
    const chosen = choiceOf(overview), all = overview.variants;
    const columns = [...overview.inputs.map((input, i) => ({ name: input.key, unit: input.unit, numeric: input.numeric, value: (v) => v.values[i] })),
        { name: "losses", unit: "%", numeric: true, value: (v) => v.x },
        { name: "worst spread", unit: "%", numeric: true, value: (v) => v.y },
        { name: "air flow", unit: "g/s", numeric: true, value: (v) => v.air }];
    const draw = () => {
        const width = Math.max(drawingWidth(plot), 110 * columns.length), height = 340;
        const area = { left: 60, right: width - 60, top: 56, bottom: height - 24 };
        const svg = canvas(width, height, label);
        const place = scalePoint(columns.map((_, i) => i), [area.left, area.right]);
        const scales = columns.map((column) => (column.numeric
            ? scaleLinear(reach(all.map(column.value), 0.02), [area.bottom, area.top])
            : scalePoint([...new Set(all.map(column.value))], [area.bottom, area.top]).padding(0.5)));
        const path = (v) => line()(columns.map((column, i) => [place(i), scales[i](column.value(v))]));
        for (const v of [...all.filter((v) => !v.front), ...all.filter((v) => v.front)]) {
            svg.append("path").attr("class", `mark strand${v.front ? " front" : ""}`).attr("d", path(v));
        }
        columns.forEach((column, i) => {
            svg.append("line").attr("class", "rail").attr("x1", place(i)).attr("x2", place(i))
                .attr("y1", area.top).attr("y2", area.bottom);
            const low = (i % 2) * 16;
            svg.append("text").attr("class", "axis-name").attr("text-anchor", "middle").attr("x", place(i))
                .attr("y", 14 + low).text(column.name + (column.unit ? `, ${column.unit}` : ""));
            const ticks = column.numeric ? [Math.min(...all.map(column.value)), Math.max(...all.map(column.value))]
                : [...new Set(all.map(column.value))].slice(0, 12);
            for (const tick of [...new Set(ticks)]) {
                svg.append("text").attr("class", "axis-name").attr("x", place(i) + 5)
                    .attr("y", scales[i](tick) + (column.numeric && tick === ticks[1] ? -4 : 13))
                    .text(column.numeric ? String(Number(tick.toPrecision(4))) : tick);
            }
        });
        const heavy = svg.append("path").attr("class", "strand chosen-strand").attr("visibility", "hidden");
        const mark = (v) => heavy.attr("d", path(v)).attr("visibility", "visible");
        chosen.listeners[1] = mark;
        if (chosen.index >= 0) mark(all[chosen.index]);
        keys(svg.node(), chosen);
        plot.replaceChildren(svg.node());
    };
    return draw;
}
