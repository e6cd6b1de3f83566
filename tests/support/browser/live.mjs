// node live.mjs TASK PAGE [JSON [firefox]]: works the working model of a report in headless Chromium
// (or Firefox, the tasks that only look and move entries), with all
// networking refused, and prints what it saw as JSON. Tasks are the functions below.
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { Browser } from "./browser.mjs";
import { Firefox } from "./firefox.mjs";

/** In the page: hands to move entries and eyes for what then stands there. */
const helpers = `window.model = {
    section: document.getElementById("model"),
    rows: () => [...document.querySelectorAll("#model .entry")].filter((row) => row.offsetParent !== null),
    slider: (row) => row.querySelector("input[type=range]"),
    field: (row) => row.querySelector("input[type=text]"),
    set(input, value) {
        input.value = value;
        input.dispatchEvent(new Event("input", { bubbles: true }));
    },
    row(key, place = 0) { return this.rows().filter((row) => row.dataset.key === key)[place]; },
    next(kinds) {
        return new Promise((done) => {
            const listen = ({ detail }) => {
                if (!kinds.includes(detail.kind)) return;
                this.section.removeEventListener("model-answer", listen);
                done(detail);
            };
            this.section.addEventListener("model-answer", listen);
        });
    },
    frame: () => new Promise((done) => requestAnimationFrame(done)),
    seen() {
        const text = (selector) => [...this.section.querySelectorAll(selector)].map((e) => e.textContent);
        return { state: this.section.querySelector(".state").dataset.state, faults: text(".faults:not([hidden]) p"),
            tiles: text(".figures dd strong"), bars: this.section.querySelectorAll(".pair figure:last-child .bar").length,
            losses: text("[data-part=losses] td"), drawn: this.section.querySelectorAll("[data-part=drawing] svg").length,
            options: text(".written")[0], marked: [...document.querySelectorAll(".as-stored:not([hidden])")].length };
    },
}; undefined`;

async function ready(browser, page) {
    await browser.size(1280, 900);
    await browser.visit(pathToFileURL(resolve(page)).href);
    const state = await browser.evaluate(`new Promise((done) => {
        const look = () => document.documentElement.dataset.model
            ? done(document.documentElement.dataset.model) : setTimeout(look, 5);
        look();
    })`);
    await browser.evaluate(helpers);
    return state;
}

const tasks = {
    /** Times of everything that a reader waits for [ms]. */
    async times(browser, page) {
        // With the first page the browser itself is still starting: a reader's has been running.
        await ready(browser, page);
        const visits = { ready: [], model: [] };
        for (let visit = 0; visit < 5; ++visit) {
            await ready(browser, page);
            for (const what of ["ready", "model"]) {
                const name = what === "ready" ? "page-ready" : "model-ready";
                visits[what].push(await browser.evaluate(`performance.getEntriesByName('${name}')[0].startTime`));
            }
        }
        const middle = (times) => times.sort((a, b) => a - b)[2];
        const found = { ready: middle(visits.ready), model: middle(visits.model) };
        Object.assign(found, await browser.evaluate(`(async () => {
            const slider = model.slider(model.row("slot.width") || model.rows()[0]);
            const low = Number(slider.min), high = Number(slider.max), step = Number(slider.step);
            const steps = [], rests = [];
            for (let i = 0; i < 80; ++i) {
                const start = performance.now(), answer = model.next(["preview", "certified", "fault", "stored"]);
                model.set(slider, low + (2 + i) % Math.round((high - low) / step) * step);
                await answer;
                steps.push(performance.now() - start);
                await model.frame();
            }
            for (let i = 0; i < 5; ++i) {
                const answer = model.next(["certified", "fault", "stored"]), start = performance.now();
                model.set(slider, low + (5 + 7 * i) * step);
                await answer;
                rests.push(performance.now() - start - 150);
            }
            return { steps, rests };
        })()`));
        found.frames = await browser.evaluate(`(async () => {
            const slider = model.slider(model.row("slot.width") || model.rows()[0]);
            const low = Number(slider.min), steps = Math.round((slider.max - low) / slider.step);
            const gaps = [];
            let last = await model.frame();
            for (let i = 0; i < 180; ++i) {
                model.set(slider, low + (i % steps) * slider.step);
                const now = await model.frame();
                gaps.push(now - last);
                last = now;
            }
            return gaps;
        })()`);
        return found;
    },

    /** Each of several moves on a page just opened. */
    async moves(browser, page, list) {
        const found = [];
        for (const entries of list) found.push(await this.move(browser, page, entries));
        return { moves: found };
    },

    /** Moves entries, {key: [texts]}, and gives the certified answer, then the one with its band. */
    async move(browser, page, entries) {
        const state = await ready(browser, page);
        const found = await browser.evaluate(`(async () => {
            const before = model.seen();
            const certified = model.next(["certified", "fault"]), bands = model.next(["bands", "fault"]);
            for (const [key, texts] of Object.entries(${JSON.stringify(entries)})) {
                const tie = model.row(key).parentNode.querySelector(".tie input");
                if (tie && texts.length > 1) tie.checked = false;
                texts.forEach((text, place) => model.set(model.field(model.row(key, place)), text));
            }
            const moving = model.seen();
            const first = await certified, seen = model.seen();
            const last = first.kind === "fault" ? first : await bands;
            const banded = model.seen();
            [...model.section.querySelectorAll("details")].forEach((d) => { d.open = true; });
            const opened = first.kind === "fault" ? first : await model.next(["certified"]);
            const point = model.section.querySelector("select").selectedOptions[0].textContent;
            return { point, before, moving, faulty: first.kind === "fault", certified: first.answer, seen,
                bands: last.answer, banded, opened: opened.answer };
        })()`);
        // The other points follow in the background; then all goes back.
        await browser.evaluate(`new Promise((done) => {
            const look = (n) => n === 0 || [...document.querySelectorAll(".scroll[aria-label='All points'] tbody tr td:last-child")]
                .every((cell) => /certified|did not/.test(cell.textContent)) ? done() : setTimeout(() => look(n - 1), 50);
            look(${found.faulty ? 100 : 1200});  // none follow a fault
        })`);
        found.table = await browser.evaluate(`[...document.querySelectorAll(".scroll[aria-label='All points'] tbody tr")]
            .map((row) => [...row.children].map((cell) => cell.textContent))`);
        found.curve = await browser.evaluate("document.querySelectorAll('.curve .mark').length");
        found.reset = await browser.evaluate(`(() => {
            [...model.section.querySelectorAll("button")].find((b) => b.textContent === "Reset all").click();
            return model.seen();
        })()`);
        return { ...found, state };
    },

    /** Asks for a target and presses "Choose width"; what stands there once the width is certified, and the
     *  curve over speed where the case has one. */
    async goal(browser, page, { target, speeds }) {
        const state = await ready(browser, page);
        const found = await browser.evaluate(`(async () => {
            model.set(model.section.querySelector(".goal input"), "${target}");
            const choice = model.next(["choice"]), certified = model.next(["certified", "fault"]);
            const curves = ${Boolean(speeds)} ? model.next(["speeds"]) : null;
            const button = [...model.section.querySelectorAll("button")].find((b) => b.textContent === "Choose width");
            button.click();
            const waiting = { said: model.section.querySelector(".choice").textContent, disabled: button.disabled };
            const got = await choice;
            const said = model.section.querySelector(".choice").textContent;
            await certified;
            const field = model.field(model.row("slot.width")).value, seen = model.seen();
            const over = curves ? (await curves).answer.html.speeds : "";
            return { waiting, disabled: button.disabled, answer: got.answer, said, field, seen, over };
        })()`);
        await browser.evaluate(`new Promise((done) => {
            const look = (n) => n === 0 || document.querySelector(".curve .target-line") ? done()
                : setTimeout(() => look(n - 1), 50);
            look(600);
        })`);
        found.lines = await browser.evaluate("document.querySelectorAll('.curve .target-line').length");
        found.charts = await browser.evaluate("document.querySelectorAll('.speeds svg').length");
        return { ...found, state };
    },

    /** Jumps to random places of random controls and looks whether what stands there is the answer's. */
    async jumps(browser, page, { count, seed }) {
        await ready(browser, page);
        return browser.evaluate(`(async () => {
            let state = ${seed};
            const random = () => { state = (state * 16807) % 2147483647; return state / 2147483647; };
            const found = { answered: 0, faults: [], wrong: [], kinds: {} };
            const points = model.section.querySelector("select");
            for (let i = 0; i < ${count}; ++i) {
                if (i % 40 === 39) {
                    points.value = String(Math.floor(random() * points.options.length));
                    points.dispatchEvent(new Event("change"));
                }
                const rows = model.rows(), slider = model.slider(rows[Math.floor(random() * rows.length)]);
                const low = Number(slider.min), high = Number(slider.max);
                const answer = model.next(["preview", "certified", "fault", "stored"]);
                model.set(slider, low + random() * (high - low));
                const late = new Promise((done) => setTimeout(() => done({ kind: "late" }), 4000));
                const { kind, answer: got } = await Promise.race([answer, late]);
                const seen = model.seen();
                found.kinds[kind] = (found.kinds[kind] || 0) + 1;
                if (kind === "late") found.wrong.push("no answer: " + seen.options);
                else if (kind === "stored") found.answered += 1;
                else if (kind === "fault") {
                    found.faults.push(got.errors.join(" | "));
                    if (seen.tiles.length + seen.bars + seen.losses.length + seen.drawn > 0 || seen.faults.length === 0) {
                        found.wrong.push("figures beside a fault: " + seen.options);
                    }
                    if (![2, 3].includes(got.status)) found.wrong.push("status " + got.status + ": " + seen.options);
                } else {
                    found.answered += 1;
                    const spread = got.solve.points[0].spread_percent;
                    if (Math.abs(Number.parseFloat(seen.tiles[0]) - spread) > 0.0501) {
                        found.wrong.push(seen.tiles[0] + " beside " + spread + ": " + seen.options);
                    }
                }
            }
            return found;
        })()`);
    },

    /** What a keyboard reaches by tab, and what arrow keys and Enter do there. */
    async keys(browser, page) {
        await ready(browser, page);
        const press = async (key, code) => {
            for (const type of ["keyDown", "keyUp"]) {
                await browser.send("Input.dispatchKeyEvent", { type, key, code: key, windowsVirtualKeyCode: code,
                    ...(key === "Enter" ? { text: "\r" } : {}) });
            }
        };
        await browser.evaluate("document.querySelector('#model select').focus()");
        const reached = [];
        for (let i = 0; i < 80; ++i) {
            const place = await browser.evaluate(`(() => {
                const at = document.activeElement;
                if (!model.section.contains(at)) return null;
                const row = at.closest(".entry");
                return { kind: at.type || at.tagName, row: row ? model.rows().indexOf(row) : -1, value: at.value || "" };
            })()`);
            if (!place) break;
            if (place.kind === "range" || place.kind === "text") {
                if (place.kind === "range") await press("ArrowRight", 39);
                else await press("ArrowUp", 38);
                place.after = await browser.evaluate("document.activeElement.value");
            }
            reached.push(place);
            await press("Tab", 9);
        }
        const rows = await browser.evaluate("model.rows().length");
        await browser.evaluate("model.rows()[0].querySelector('button').focus()");
        await press("Enter", 13);
        const away = await browser.evaluate("model.rows()[0].classList.contains('away')");
        const names = await browser.evaluate(`[...model.section.querySelectorAll("input, select, button")].filter((e) =>
            !(e.labels && e.labels.length > 0) && !e.textContent && !e.getAttribute("aria-label")).length`);
        return { rows, reached, away, nameless: names };
    },

    /** What is left where scripts, WebAssembly or workers are refused, and in print. */
    async without(browser, page) {
        const look = `({ sentence: document.querySelectorAll(".model-off").length === 1
                && document.querySelector(".model-off").offsetParent !== null,
            controls: [...document.querySelectorAll("#model input")].filter((i) => i.offsetParent !== null).length,
            panels: document.querySelectorAll("#verdict .panel").length,
            marked: document.querySelectorAll(".as-stored:not([hidden])").length })`;
        const found = {};
        const address = pathToFileURL(resolve(page)).href;
        for (const [name, source] of Object.entries({
            webassembly: "delete globalThis.WebAssembly",
            worker: "globalThis.Worker = class { constructor() { throw new Error('refused'); } }",
            silent: "WebAssembly.compile = () => Promise.reject(new Error('policy')); "
                + "globalThis.Worker = class { set onerror(f) { setTimeout(() => f({ preventDefault() {} }), 30); } postMessage() {} terminate() {} }",
        })) {
            const { identifier } = await browser.send("Page.addScriptToEvaluateOnNewDocument", { source });
            await browser.visit(address);
            await browser.evaluate("new Promise((done) => setTimeout(done, 150))");
            found[name] = await browser.evaluate(look);
            await browser.send("Page.removeScriptToEvaluateOnNewDocument", { identifier });
        }
        await ready(browser, page);
        await browser.evaluate("(async () => { const a = model.next(['preview', 'fault']); model.set(model.slider(model.rows()[0]), 0); await a; })()");
        await browser.appearance("light", "print");
        found.print = await browser.evaluate(look);
        await browser.appearance("dark");
        await browser.size(390, 844);
        found.narrow = await browser.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth");
        await browser.send("Emulation.setScriptExecutionDisabled", { value: true });
        await browser.visit(address);
        found.scripts = await browser.evaluate(look);
        return found;
    },
};

const [task, page, json, other] = process.argv.slice(2);
const browser = other === "firefox" ? new Firefox() : new Browser();
try {
    await browser.open();
    await browser.send("Network.emulateNetworkConditions",
        { offline: true, latency: 0, downloadThroughput: 0, uploadThroughput: 0 });
    const found = await tasks[task](browser, page, json ? JSON.parse(json) : undefined);
    found.console = browser.faults;
    found.requests = [...new Set(browser.requests.filter((r) => !r.startsWith("blob:") && !r.startsWith("file:")))];
    console.log(JSON.stringify(found));
} finally {
    await browser.close();
}
