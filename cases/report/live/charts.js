import { curveValues, drawCurve } from "./curve.js";
import { valueText } from "./set.js";

const element = (name, style, text) => {
    const made = document.createElement(name);
    if (style) made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
};

/** What is drawn behind the certified answer: spread and loss along the track of the entry moved last, and the
 *  curves over speed of the case. */
export class Charts {
    /** @param overSpeed whether the case has curves over speed */
    constructor(overSpeed) {
        this.overSpeed = overSpeed;
        this.curve = element("figure", "curve");
        this.plot = element("div", "plot");
        this.caption = element("figcaption");
        this.curve.append(element("h3", "", "Along the track of the entry moved last"), this.plot, this.caption);
        this.speeds = element("div", "speeds");
        this.outer = element("div");
        this.outer.append(this.curve, this.speeds);
        this.hide();
    }

    outdate() { for (const chart of [this.curve, this.speeds]) chart.classList.add("outdated"); }

    hide() { for (const chart of [this.curve, this.speeds]) chart.hidden = true; }

    redraw() { if (this.draw && !this.curve.hidden) this.draw(); }

    /** @param request makes the request for a list of values @param target gives the spread's line [%] */
    curveSteps(control, n, request, target) {
        const place = control.numbers.indexOf(n), tied = control.tied && control.tied.checked;
        const points = curveValues(n.number).map((at) => ({ at, ok: false, spread: null, loss: null }));
        return points.map((p) => {
            const texts = control.texts().map((text, i) => (i === place || tied ? String(p.at) : text));
            return {
                request: request([valueText(control.entry, texts)]),
                got: (got) => {
                    const one = got.ok ? got.curve[0] : { ok: false };
                    if (one.ok) Object.assign(p, { ok: true, spread: one.spread_percent,
                        loss: (one.loss_pa.throttle + one.loss_pa.slot + one.loss_pa.mouth) * 1e-3 });
                    if (p === points[points.length - 1]) this.showCurve(points, n, control.entry.unit, target);
                },
            };
        });
    }

    showCurve(points, n, unit, target) {
        this.curve.hidden = false;
        this.curve.classList.remove("outdated");
        this.caption.textContent = `Preview on coarse cells: ${n.number.label} moved alone from end to end of its `
            + "track, all else as it stands. Dashed: the case; line: where it stands now.";
        this.draw = () => drawCurve(this.plot, points, { number: n.number, unit, now: Number(n.value), target: target() });
        this.draw();
    }

    /** Whether the curves over speed belong to the entries as they stand. */
    get speedsStand() { return !this.speeds.hidden && !this.speeds.classList.contains("outdated"); }

    /** @param told called with the answer once it stands */
    speedSteps(request, told) {
        if (!this.overSpeed) return [];
        return [{ request, long: true, got: (got) => {
            if (!got.ok) return;
            this.speeds.innerHTML = `<h3>Over speed, with the moves</h3>${got.html.speeds}`;
            this.speeds.append(element("p", "note",
                "Preview on coarse cells; the stored curve stands in the verdict."));
            this.speeds.hidden = false;
            this.speeds.classList.remove("outdated");
            told(got);
        } }];
    }
}
