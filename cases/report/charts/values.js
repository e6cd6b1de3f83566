/** Values of a chart under the pointer, or by arrow keys once the chart has the focus. */

const nearest = (list, at, place) => list.reduce((best, item) =>
    (Math.abs(place(item) - at) < Math.abs(place(best) - at) ? item : best));

/** What a chart's lines hold at one place along its axis; a line says nothing beyond its ends. */
function words(chart, at) {
    const said = chart.lines.flatMap((line) => {
        const xs = line.points.map((p) => p[0]);
        const near = nearest(line.points, at, (p) => p[0]);
        const inside = at >= Math.min(...xs) - 1e-9 && at <= Math.max(...xs) + 1e-9;
        return inside && near[1] !== null ? [`${line.name} ${chart.format(near[1], near)}`] : [];
    });
    return `${chart.x.name} ${chart.x.format(at)}: ${said.join(", ")}`;
}

/**
 * Lets a chart be read.
 * @param chart {name, x: {name, scale, format}, area, unit, format(value), lines: [{name, points: [[x, value]]}]}
 */
export function readable(plot, svg, chart) {
    const stops = [...new Set(chart.lines.flatMap((line) => line.points.map((p) => p[0])))].sort((a, b) => a - b);
    plot.numbers = () => ({
        name: chart.name,
        rows: [["line", chart.x.name, chart.unit],
            ...chart.lines.flatMap((line) => line.points.map((p) => [line.name, p[0], p[1]]))],
    });
    if (stops.length === 0) return;
    const picture = svg.node();
    const cursor = svg.append("line").attr("class", "reading-line").attr("y1", chart.area.top)
        .attr("y2", chart.area.bottom).attr("visibility", "hidden");
    let output = plot.querySelector("output.values");
    if (!output) {
        output = document.createElement("output");
        output.className = "values";
        output.textContent = "Point at the chart, or focus it and use the arrow keys, to read values.";
    }
    let stop = -1;
    const show = (index) => {
        stop = Math.max(0, Math.min(stops.length - 1, index));
        const at = chart.x.scale(stops[stop]);
        cursor.attr("x1", at).attr("x2", at).attr("visibility", "visible");
        output.textContent = words(chart, stops[stop]);
    };
    picture.setAttribute("tabindex", "0");
    picture.addEventListener("pointermove", (event) => {
        const box = picture.getBoundingClientRect();
        const x = (event.clientX - box.left) / box.width * picture.viewBox.baseVal.width;
        show(stops.indexOf(nearest(stops, x, chart.x.scale)));
    });
    picture.addEventListener("pointerleave", () => cursor.attr("visibility", "hidden"));
    picture.addEventListener("focus", () => { if (picture.matches(":focus-visible")) show(Math.max(stop, 0)); });
    picture.addEventListener("blur", () => cursor.attr("visibility", "hidden"));
    picture.addEventListener("keydown", (event) => {
        const to = { ArrowLeft: stop - 1, ArrowRight: stop + 1, Home: 0, End: stops.length - 1 }[event.key];
        if (to === undefined) return;
        event.preventDefault();
        show(to);
    });
    return output;
}
