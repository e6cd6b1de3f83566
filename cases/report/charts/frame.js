import { axisBottom, axisLeft } from "d3-axis";
import { create } from "d3-selection";

/** Dash patterns: lines differ by them as well as by colour. */
export const dashes = [null, "7 3", "2 3", "9 3 2 3", "12 4", "5 2 1 2 1 2", "3 5", "14 3 3 3"];

/** Class of the n-th series. */
export const series = (n) => `s${n % dashes.length}`;

/** Width to draw for: that of the place, never so narrow that words collide. */
export function drawingWidth(plot) {
    return Math.max(320, Math.min(900, plot.clientWidth || 700));
}

/** An SVG with a drawing area; `label` is what a screen reader says. */
export function canvas(width, height, label) {
    return create("svg")
        .attr("viewBox", `0 0 ${width} ${height}`)
        .attr("role", "img")
        .attr("aria-label", label);
}

/** Axes with their names, and level lines. @param area {left, right, top, bottom} in pixels */
export function axes(svg, area, x, y, names, format) {
    const grid = svg.append("g").attr("class", "grid");
    for (const tick of y.ticks(5)) {
        grid.append("line").attr("x1", area.left).attr("x2", area.right)
            .attr("y1", y(tick)).attr("y2", y(tick));
    }
    const across = Math.max(3, Math.round((area.right - area.left) / 90));
    const bottom = axisBottom(x).ticks(across).tickSizeOuter(0).tickPadding(6);
    if (names.xValues) bottom.tickValues(names.xValues);
    if (format && format.x) bottom.tickFormat(format.x);
    const left = axisLeft(y).ticks(5).tickSize(0).tickPadding(8);
    if (format && format.y) left.tickFormat(format.y);
    svg.append("g").attr("class", "axis").attr("transform", `translate(0,${area.bottom})`).call(bottom);
    svg.append("g").attr("class", "axis").attr("transform", `translate(${area.left},0)`).call(left)
        .call((g) => g.select(".domain").remove());
    svg.append("text").attr("class", "axis-name").attr("text-anchor", "end")
        .attr("x", area.right).attr("y", area.bottom + 36).text(names.x);
    svg.append("text").attr("class", "axis-name")
        .attr("x", 2).attr("y", area.top - 12).text(names.y);
}

/** Places for end labels: as near to their lines as a distance between them allows. */
export function spreadLabels(labels, distance, low, high) {
    const sorted = [...labels].sort((a, b) => a.y - b.y);
    let last = -Infinity;
    for (const label of sorted) {
        label.place = Math.max(label.y, last + distance, low);
        last = label.place;
    }
    let next = high;
    for (const label of sorted.reverse()) {
        label.place = Math.min(label.place, next);
        next = label.place - distance;
    }
    return labels;
}

/** Room that end labels need. */
export const roomFor = (names) => 18 + 7.6 * Math.max(...names.map((name) => String(name).length));

/** Text at the right end of each line, moved apart. labels: {x, y, text, style} */
export function endLabels(svg, labels, area) {
    spreadLabels(labels, 14, area.top, area.bottom);
    for (const label of labels) {
        svg.append("text").attr("class", `end ${label.style}`).attr("x", area.right + 8)
            .attr("y", label.place + 4).text(label.text);
        svg.append("line").attr("class", `line ${label.style}`).attr("stroke-width", 1).attr("opacity", 0.5)
            .attr("x1", label.x).attr("x2", area.right + 6).attr("y1", label.y).attr("y2", label.place);
    }
}

/** Lowest and highest of numbers, null left out, widened by a part of their distance. */
export function reach(values, part = 0.06) {
    const known = values.filter((v) => v !== null && Number.isFinite(v));
    let low = Math.min(...known), high = Math.max(...known);
    if (!(high > low)) { low -= 0.5; high += 0.5; }
    const more = part * (high - low);
    return [low - more, high + more];
}

/** "+0.5", "-1.4" with a true minus sign. */
export function signed(value, digits = 1) {
    const text = Math.abs(value).toFixed(digits);
    if (Number(text) === 0) return text;
    return (value < 0 ? "\u2212" : "+") + text;
}

/** The same without plus. */
export const plain = (value, digits = 1) => signed(value, digits).replace("+", "");
