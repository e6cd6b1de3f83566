import { pressureAlong, slotAlong } from "./along.js";
import { choice, controls } from "./choice.js";
import { overviewParallel, overviewScatter } from "./overview.js";
import { offerFiles } from "./save.js";
import { scrubbed } from "./scrubber.js";
import { biasAgainstSpeed, spreads } from "./speed.js";

const data = JSON.parse(document.getElementById("data").textContent);

/** Static pressure with the point to choose. */
function pressure(plot, label, result) {
    const points = result.points.filter((p) => p.converged && p.pressures.length > 0);
    let point = points[0];
    const draw = () => pressureAlong(plot, label, point, result.runners);
    controls(plot).append(choice("Point", points.map((p) => ({ label: p.name, value: p })), point,
        (p) => { point = p; draw(); }));
    return draw;
}

/** For each kind of chart: prepares it and returns the function that draws it. */
const kinds = {
    "bias-speed": (plot, label, result) => () => biasAgainstSpeed(plot, label, result),
    "comparison": (plot, label) => () => spreads(plot, label, data.results),
    "pressure": pressure,
    "slot": (plot, label, result) => () => slotAlong(plot, label,
        result.points.filter((p) => p.converged && p.slots.length > 0), result.runners),
    "crank": scrubbed,
    "overview-scatter": (plot, label) => overviewScatter(plot, label, data.overview),
    "overview-parallel": (plot, label) => overviewParallel(plot, label, data.overview),
};

const drawings = [];
for (const figure of document.querySelectorAll("figure.chart")) {
    const plot = figure.querySelector(".plot");
    const draw = kinds[figure.dataset.chart](plot, figure.dataset.label, data.results[figure.dataset.result]);
    draw();
    drawings.push(draw);
}

offerFiles(document);

let width = document.documentElement.clientWidth;
addEventListener("resize", () => {
    const now = document.documentElement.clientWidth;
    if (now === width) return;
    width = now;
    for (const draw of drawings) draw();
});
