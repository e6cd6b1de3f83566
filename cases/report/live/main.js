import "../charts/main.js";
import { Answer } from "./answer.js";
import { Background } from "./background.js";
import { EntryControl } from "./controls.js";
import { Charts } from "./charts.js";
import { Goal } from "./goal.js";
import { Latest } from "./latest.js";
import { Points } from "./points.js";
import { options, setText } from "./set.js";
import { embedded, Model } from "./workers.js";

const restTime = 150;  // ms without a move before the certified answer is asked for

const element = (name, style, text) => {
    const made = document.createElement(name);
    if (style) made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
};

/** The working model of one report. */
class Live {
    /** @param lost called when the model has ended and will give no more answers */
    constructor(section, data, lost) {
        this.section = section;
        this.points = data.points;
        this.model = { ...embedded(), text: data.case_text, name: data.case_name };
        this.front = new Model(this.model, lost);
        this.version = 0;
        this.answer = new Answer(() => this.opened());
        this.table = new Points(data.points, data.heads);
        this.controls = data.entries.map((entry) => new EntryControl(entry, (control, n) => this.moved(control, n)));
        this.last = { control: this.controls[0], n: this.controls[0].numbers[0] };
        this.goal = new Goal(this.controls, data.target_percent, () => this.retarget(), () => this.chooseWidth());
        this.charts = new Charts(data.over_speed);
        this.back = new Background(this.model);
        this.queue = new Latest((request) => this.front.ask(request.body), (request, got) => this.take(request, got));
        this.build();
        this.select.value = String(data.first);
        this.choose(data.first);
        this.answer.say("starting");
    }

    build() {
        const tools = element("div", "tools");
        this.select = element("select");
        const label = element("label", "point-choice", "Point ");
        this.select.append(...this.points.map((p, i) => new Option(p.name, String(i))));
        this.select.addEventListener("change", () => this.choose(Number(this.select.value)));
        label.append(this.select);
        this.all = button("Reset all", () => this.resetAll());
        this.copy = button("Copy as --set options", () => this.copyOptions());
        tools.append(label, this.goal.label, this.goal.button, this.all, this.copy);
        this.written = element("p", "written");
        this.written.hidden = true;
        this.list = element("div", "entries");
        this.list.append(...this.controls.map((c) => c.outer));
        const right = element("div", "answers");
        right.append(this.answer.figures, this.answer.watch);
        const frame = element("div", "model-frame");
        frame.append(this.answer.head, this.list, right);
        this.outer = element("div", "model-live");
        this.outer.append(tools, this.goal.said, this.written, frame, this.charts.outer,
            element("h3", "", "All points"), this.table.outer, this.answer.more);
        this.section.append(this.outer);
    }

    get point() { return this.points[this.chosen]; }

    choose(index) {
        this.chosen = index;
        for (const c of this.controls) c.outer.hidden = c.entry.point !== "" && c.entry.point !== this.point.name;
        this.answer.stored(this.point);
        this.changed();
    }

    moved(control, n) {
        this.last = { control, n };
        this.changed();
    }

    resetAll() {
        for (const c of this.controls) c.reset();
        this.changed();
    }

    /** The options that the command line needs for the entries as they stand. */
    sets() { return this.controls.filter((c) => c.away).map((c) => setText(c.entry, c.texts())); }

    request(kind, parts, more = {}) {
        return { version: this.version, kind,
            body: { id: this.version, kind, point: this.point.name, set: this.sets(), parts, ...more } };
    }

    /** The first answer of a browser takes several times as long as the next: it is asked for at leisure. */
    warm() {
        const idle = globalThis.requestIdleCallback || ((call) => setTimeout(call, 50));
        idle(() => { if (this.version === 1) this.front.ask(this.request("preview", this.answer.parts()).body); });
    }

    /** After every move and every choice of a point. */
    changed() {
        this.version += 1;
        clearTimeout(this.rest);
        this.back.drop();
        const away = this.controls.some((c) => c.away);
        document.body.classList.toggle("moved", away);
        for (const note of document.querySelectorAll(".as-stored")) note.hidden = !away;
        this.all.hidden = !away;
        this.copy.hidden = !away;
        this.written.hidden = !away;
        this.written.textContent = away ? options(this.sets()) : "";
        this.goal.say("");
        this.charts.outdate();
        if (!away) {
            this.backToStored();
            return;
        }
        this.table.outdate();
        this.answer.outdate();
        this.queue.put(this.request("preview", this.answer.parts(true)));
        this.rest = setTimeout(() => this.atRest(), restTime);
    }

    backToStored() {
        this.queue.waiting = null;
        this.table.reset();
        this.charts.hide();
        if (this.point.html) this.answer.show(this.point.html, "stored");
        else this.answer.fail([`${this.point.name} did not converge in the stored result.`], "lost");
        this.tell("stored", null);
    }

    /** A folded piece was opened: its content for the entries as they stand. */
    opened() {
        if (this.controls.some((c) => c.away)) this.queue.put(this.request("certified", this.answer.parts()));
        else if (this.point.html) this.answer.show(this.point.html, this.answer.shown);
    }

    /** For whoever watches the page from outside: what was shown, and from which answer. */
    tell(kind, answer) {
        this.section.dispatchEvent(new CustomEvent("model-answer", { detail: { kind, answer } }));
    }

    atRest() {
        this.queue.put(this.request("certified", this.answer.parts()));
    }

    /** An answer from the front worker. */
    take(request, got) {
        if (request.kind === "certified" && request.version !== this.version) return;
        if (request.version < this.version && !this.controls.some((c) => c.away)) return;
        if (request.body.point !== this.point.name) return;
        if (!got.ok) {
            if (request.version !== this.version) return;
            this.failed(got);
            return;
        }
        if (request.body.set.length === 0) return;
        this.answer.show(got.html, request.kind);
        this.tell(request.kind, got);
        if (request.kind !== "certified") return;
        this.table.put(this.point.name, got.html.row, "certified");
        this.later();
    }

    failed(got) {
        this.tell("fault", got);
        this.answer.fail(got.errors, got.status === 3 ? "lost" : "refused");
        this.table.outdate();
        this.charts.hide();
        this.last.n.fault(got.status === 2);
    }

    /** Bands, the other points and the curve of the certified entries. */
    later() {
        const bands = { ...this.request("bands", this.answer.parts()), long: true };
        const steps = [{ request: bands.body, long: true, got: (got) => this.banded(got) }];
        for (const point of this.points) {
            if (point === this.point) continue;
            this.table.state(point.name, "of other entries; being computed");
            steps.push({ request: { ...this.request("certified", ["row"]).body, point: point.name },
                got: (got) => (got.ok ? this.table.put(point.name, got.html.row, "certified")
                    : this.table.lost(point.name, got.errors.join(" "))) });
        }
        this.back.run([...this.curveSteps(), ...steps, ...this.speedSteps()]);
    }

    /** Another target: its line moves; what was computed stands. */
    retarget() {
        this.charts.redraw();
        if (this.charts.speedsStand) this.back.run(this.speedSteps());
    }

    speedSteps() {
        const request = { id: this.version, kind: "speeds", set: this.sets(), target_percent: this.goal.target };
        return this.charts.speedSteps(request, (got) => this.tell("speeds", got));
    }

    /** The width that keeps the target at every point, all other entries as they stand. */
    chooseWidth() {
        const { control } = this.goal;
        const others = this.controls.filter((c) => c.away && c !== control).map((c) => setText(c.entry, c.texts()));
        const request = { id: this.version, ...this.goal.request(others, this.points.map((p) => p.name)) };
        clearTimeout(this.rest);
        this.goal.wait();
        this.back.run([{ request, long: true, got: (got) => {
            if (this.goal.take(got)) this.moved(control, control.numbers[0]);
            this.goal.say(got.ok ? got.words : got.errors.join(" "));
            this.tell("choice", got);
        } }]);
    }

    banded(got) {
        if (!got.ok) return;
        this.answer.show(got.html, "banded");
        this.tell("bands", got);
        this.table.put(this.point.name, got.html.row, "certified, with band");
    }

    curveSteps() {
        const { control, n } = this.last;
        if (control.outer.hidden) return [];
        return this.charts.curveSteps(control, n, (values) =>
            this.request("curve", [], { key: control.entry.key, values }).body, () => this.goal.target);
    }

    async copyOptions() {
        const text = options(this.sets());
        const before = this.copy.textContent;
        let done = true;
        try {
            await navigator.clipboard.writeText(text);
        } catch (error) {
            getSelection().selectAllChildren(this.written);
            done = document.execCommand("copy");
        }
        this.copy.textContent = done ? "Copied" : "Select the text and copy it";
        setTimeout(() => { this.copy.textContent = before; }, 1500);
    }
}

function button(text, pressed) {
    const made = element("button", "", text);
    made.type = "button";
    made.addEventListener("click", pressed);
    return made;
}

/** One sentence in every section whose figures do not follow. */
function markStored(section) {
    for (const other of document.querySelectorAll("main > section")) {
        if (other === section || other.id === "cautions") continue;
        const note = element("p", "as-stored",
            "Stored figures: the entries moved in the working model are not in them.");
        note.hidden = true;
        other.querySelector("h2").after(note);
    }
}

function start() {
    const section = document.getElementById("model");
    if (!section) return;
    const off = section.querySelector(".model-off");
    const quit = (fault) => {
        document.documentElement.dataset.modelFault = fault ? fault.message : "";
        document.body.classList.remove("model-runs");
        document.documentElement.dataset.model = "off";
        const live = section.querySelector(".model-live");
        if (live) live.remove();
        off.hidden = false;
    };
    try {
        if (typeof WebAssembly !== "object") return quit(new Error("no WebAssembly"));
        const data = JSON.parse(document.getElementById("live-data").textContent);
        const live = new Live(section, data, quit);
        markStored(section);
        document.body.classList.add("model-runs");
        performance.mark("page-ready");
        live.front.ready.then((module) => {
            live.model.module = module;  // compiled once, for the other worker too
            document.documentElement.dataset.model = "ready";
            performance.mark("model-ready");
            live.warm();
            if (live.answer.shown === "starting") live.answer.say("stored");
        }, quit);
        addEventListener("resize", () => { live.charts.redraw(); });
    } catch (error) {
        quit(error);
    }
    return undefined;
}

start();
