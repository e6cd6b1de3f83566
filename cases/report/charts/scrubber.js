import { choice, controls } from "./choice.js";
import { angleStep, crankView, lastSample } from "./crank.js";

/** The slider with its button; `moved` is called with the sample. */
function slider(moved) {
    const outer = document.createElement("div");
    outer.className = "scrubber";
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Play";
    const label = document.createElement("label");
    label.textContent = "Crank angle";
    const input = document.createElement("input");
    Object.assign(input, { type: "range", min: 0, max: lastSample * angleStep, step: angleStep, value: 0 });
    input.id = `angle-${document.querySelectorAll(".scrubber").length + 1}`;
    label.htmlFor = input.id;
    let timer = null;
    const stop = () => {
        clearInterval(timer);
        timer = null;
        button.textContent = "Play";
    };
    const show = () => {
        input.setAttribute("aria-valuetext", `${input.value} degrees`);
        moved(Number(input.value) / angleStep);
    };
    input.addEventListener("input", () => { stop(); show(); });
    button.addEventListener("click", () => {
        if (timer !== null) return stop();
        button.textContent = "Stop";
        timer = setInterval(() => {
            input.value = (Number(input.value) + angleStep) % (lastSample * angleStep);
            show();
        }, 50);
        return undefined;
    });
    outer.append(button, label, input);
    return { outer, sample: () => Number(input.value) / angleStep };
}

/** Crank-angle view with point and angle to choose. Returns the function that draws it anew. */
export function scrubbed(plot, label, result) {
    const points = result.points.filter((p) => p.converged && p.traces);
    let point = points[0], move = null;
    const readout = document.createElement("output");
    readout.className = "readout";
    const show = (i) => { readout.textContent = move(i); };
    const angle = slider(show);
    const draw = () => {
        move = crankView(plot, label, point, result.runners);
        show(angle.sample());
    };
    const row = controls(plot);
    row.append(choice("Point", points.map((p) => ({ label: p.name, value: p })), point, (p) => { point = p; draw(); }),
        angle.outer);
    row.after(readout);
    return draw;
}
