// node inspect.mjs [--pictures FOLDER] PAGE...: opens reports in headless Chromium and prints what it
// found as a JSON list. With a folder it also leaves screenshots (wide and narrow, light and dark) and
// printed pages there.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { Browser } from "./browser.mjs";

const papers = { A4: [8.27, 11.69], Letter: [8.5, 11] };

/** In the page: each chart with the number of marks that have an extent. */
const countMarks = `[...document.querySelectorAll("figure.chart")].map((figure) => ({
    kind: figure.dataset.chart,
    label: figure.querySelector("svg") ? figure.querySelector("svg").getAttribute("aria-label") : null,
    marks: [...figure.querySelectorAll(".mark")].filter((mark) => {
        const box = mark.getBBox();
        return Number.isFinite(box.width + box.height) && box.width + box.height > 0;
    }).length,
    broken: [...figure.querySelectorAll("svg *")].filter((part) => [...part.attributes]
        .some((a) => /NaN|undefined|Infinity/.test(a.value))).length,
    outside: [...figure.querySelectorAll("svg text")].filter((text) => {
        const box = text.getBoundingClientRect(), frame = text.ownerSVGElement.getBoundingClientRect();
        return box.left < frame.left - 1 || box.right > frame.right + 1;
    }).map((text) => text.textContent),
}))`;

/** In the page: words of a picture that stand on one another. */
const overprints = `[...document.querySelectorAll("svg")].flatMap((svg) => {
    const texts = [...svg.querySelectorAll("text")].filter((t) => t.textContent.trim() && getComputedStyle(t).visibility !== "hidden")
        .map((t) => ({ words: t.textContent, box: t.getBoundingClientRect() })).filter((t) => t.box.width > 0);
    return texts.flatMap((a, i) => texts.slice(i + 1).filter((b) =>
        Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left) > 2 &&
        Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top) > 4)
        .map((b) => (svg.closest("section") || document.body).id + ": " + a.words + " | " + b.words));
})`;

/** In the page: the scrubber set to 180 degrees by event, then one step by keyboard. */
const scrub = `(() => {
    const input = document.querySelector(".scrubber input");
    if (!input) return null;
    const view = input.closest("figure");
    const seen = () => ({ words: view.querySelector("output").textContent,
        cursor: view.querySelector(".cursor").getAttribute("x1"), value: input.value,
        columns: [...view.querySelectorAll(".column")].map((c) => c.getAttribute("height")).join(" ") });
    const before = seen();
    input.value = 180;
    input.dispatchEvent(new Event("input"));
    const after = seen();
    input.focus();
    return { before, after };
})()`;

/** In the page: tables and drawings wider than the paper, and pieces that would be cut. */
const cutParts = `[...document.querySelectorAll("table, svg, pre")].filter((part) => {
    const box = part.getBoundingClientRect();
    return box.width > 0 && (box.right > document.documentElement.clientWidth + 0.5 || box.left < -0.5);
}).map((part) => (part.caption ? part.caption.textContent : part.tagName))`;

/** In the page as printed: how high each reader's part is in sheets of paper; of the machinist's, each slot. */
const readers = (paper) => `Object.fromEntries(["verdict", "machinist", "fuel"].flatMap((name) => {
    const part = document.getElementById(name);
    if (!part) return [];
    const slots = Math.max(1, part.querySelectorAll(":scope > h3").length);
    const above = name === "verdict" ? document.querySelector("header.page").getBoundingClientRect().height : 0;
    return [[name, (above + part.getBoundingClientRect().height) / (96 * ${paper[1] - 1.1}) / (name === "machinist" ? slots : 1)]];
}))`;

/** In the page: what a keyboard or a screen reader could not use. */
const hindrances = `[
    ...[...document.querySelectorAll("svg[role=img]")].filter((s) => !s.getAttribute("aria-label") && !s.getAttribute("aria-labelledby")).map(() => "svg without label"),
    ...[...document.querySelectorAll("table")].filter((t) => !t.caption || !t.querySelector("th[scope=col]"))
        .map(() => "table without caption or heads"),
    ...[...document.querySelectorAll("input, button, a, summary, [tabindex]")].filter((e) => e.disabled).map((e) => e.tagName),
    ...[...document.querySelectorAll("input")].filter((i) => i.labels.length === 0).map(() => "input without label"),
    ...[...document.querySelectorAll("nav a")].filter((a) => !document.querySelector(a.getAttribute("href")))
        .map((a) => "contents leads nowhere: " + a.getAttribute("href")),
    ...[...document.querySelectorAll("[id]")].map((e) => e.id).filter((id, i, all) => all.indexOf(id) !== i)
        .map((id) => "id twice: " + id),
    ...[...document.querySelectorAll("h1, h2, h3")].filter((h, i, all) => i > 0 &&
        Number(h.tagName[1]) > Number(all[i - 1].tagName[1]) + 1).map((h) => "heading level skipped: " + h.textContent),
]`;

async function pictures(browser, folder, name) {
    mkdirSync(folder, { recursive: true });
    for (const scheme of ["light", "dark"]) {
        await browser.appearance(scheme);
        for (const width of [1280, 390]) {
            await browser.size(width, 900);
            writeFileSync(join(folder, `${name}-${width}-${scheme}.png`), await browser.screenshot());
        }
    }
    await browser.appearance("light");
}

async function printed(browser, page, folder) {
    const found = {};
    // A change of size draws every chart anew: one for each paper, and one back.
    await browser.appearance("light", "print");
    for (const [name, paper] of Object.entries(papers)) {
        await browser.size(Math.floor((paper[0] - 1.02) * 96), 1000);
        found[name] = { cut: await browser.evaluate(cutParts), readers: await browser.evaluate(readers(paper)) };
    }
    await browser.appearance("light");
    await browser.size(1280, 900);
    for (const [name, paper] of Object.entries(papers)) {
        const pdf = await browser.print(paper);
        Object.assign(found[name], { bytes: pdf.length,
            pages: pdf.toString("latin1").split(/\/Type\s*\/Page\b/).length - 1 });
        if (folder) {
            mkdirSync(folder, { recursive: true });
            writeFileSync(join(folder, `${basename(page, ".html")}-${name}.pdf`), pdf);
        }
    }
    return found;
}

async function scrubbed(browser) {
    const found = await browser.evaluate(scrub);
    if (!found) return null;
    for (const type of ["keyDown", "keyUp"]) {
        await browser.send("Input.dispatchKeyEvent",
            { type, key: "ArrowRight", code: "ArrowRight", windowsVirtualKeyCode: 39 });
    }
    found.key = await browser.evaluate("document.querySelector('.scrubber input').value");
    return found;
}

/** Rules of accessibility (axe-core, installed by scripts/setup.sh); null where it is not there. */
const rules = "build/tools/node_modules/axe-core/axe.min.js";

async function accessibility(browser) {
    if (!existsSync(rules)) return null;
    await browser.evaluate(`${readFileSync(rules, "utf8")}\n;undefined`);
    const found = [];
    for (const scheme of ["light", "dark"]) {
        await browser.appearance(scheme);
        found.push(...await browser.evaluate(`(async () => {
            // Everything that folds is opened: what nobody sees is not judged.
            for (const folded of document.querySelectorAll("details")) folded.open = true;
            // Of the second scheme what can differ from the first: its colours.
            const { violations } = await axe.run(document, { resultTypes: ["violations"],
                ...("${scheme}" === "dark" ? { runOnly: ["color-contrast", "link-in-text-block"] } : {}) });
            return violations.map((v) => "${scheme}: " + v.id + ": " +
                v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join(" | "));
        })()`));
    }
    await browser.appearance("light");
    return found;
}

/** In the page: what a chart says under the pointer and by key, and what its files hold. */
const readings = `(async () => {
    const texts = [];
    const make = URL.createObjectURL;
    URL.createObjectURL = (blob) => { texts.push(blob.text()); return make.call(URL, blob); };
    const click = HTMLAnchorElement.prototype.click;
    HTMLAnchorElement.prototype.click = () => {};
    const found = [];
    for (const figure of document.querySelectorAll("figure.chart")) {
        const svg = figure.querySelector(".plot svg"), output = figure.querySelector("output.values");
        if (!svg || !output) continue;
        const box = svg.getBoundingClientRect();
        svg.dispatchEvent(new PointerEvent("pointermove", { clientX: box.left + 0.5 * box.width, clientY: box.top + 60 }));
        const pointed = output.textContent;
        svg.dispatchEvent(new KeyboardEvent("keydown", { key: "Home" }));
        const first = output.textContent;
        svg.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight" }));
        found.push({ kind: figure.dataset.chart, pointed, first, next: output.textContent,
            focusable: svg.tabIndex === 0, link: figure.querySelector("a.self").getAttribute("href") === "#" + figure.id });
    }
    // A variant chosen by key says its options, and both charts mark it.
    const dots = document.querySelector("[data-chart=overview-scatter] svg");
    let chosen = null;
    if (dots) {
        dots.dispatchEvent(new KeyboardEvent("keydown", { key: "Home" }));
        const dot = dots.querySelectorAll(".dot.front")[1] || dots.querySelector(".dot");
        const byKey = document.querySelector("#chosen .written").textContent;
        const at = dot.getBoundingClientRect();
        dots.dispatchEvent(new MouseEvent("click", { clientX: at.left + at.width / 2, clientY: at.top + at.height / 2 }));
        chosen = { byKey, byPointer: document.querySelector("#chosen .written").textContent,
            marks: document.querySelectorAll(".ring[visibility=visible], .chosen-strand[visibility=visible]").length };
    }
    const buttons = [...document.querySelectorAll(".save button")];
    for (const button of buttons.slice(0, 12)) button.click();
    const files = await Promise.all(texts);
    URL.createObjectURL = make;
    HTMLAnchorElement.prototype.click = click;
    const parser = new DOMParser();
    return { charts: found, chosen, buttons: buttons.length, files: files.length,
        broken: files.filter((text) => text.startsWith("<") ? parser.parseFromString(text, "image/svg+xml").querySelector("parsererror")
            : new Set(text.trimEnd().split("\\n").map((line) => line.replace(/"[^"]*"/g, "").split(",").length)).size !== 1).length };
})()`;

async function inspect(browser, page, folder) {
    browser.faults.length = 0;
    browser.requests.length = 0;
    await browser.size(1280, 900);
    await browser.visit(pathToFileURL(resolve(page)).href);
    const found = { charts: await browser.evaluate(countMarks) };
    found.hindrances = await browser.evaluate(hindrances);
    found.overprints = await browser.evaluate(overprints);
    found.scripts = await browser.evaluate("document.querySelectorAll('script:not([type])').length");
    found.title = await browser.evaluate("document.title");
    found.heading = await browser.evaluate("document.querySelector('h1').textContent");
    await browser.size(390, 900);
    found.narrow = { overprints: await browser.evaluate(overprints), charts: await browser.evaluate(countMarks), wide: await browser.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth") };
    found.print = await printed(browser, page, folder);
    if (folder) {
        await pictures(browser, folder, basename(page, ".html"));
        await browser.size(1280, 900);
    }
    // What moves the page comes last: one visit serves all.
    found.scrubber = await scrubbed(browser);
    found.readings = await browser.evaluate(readings);
    found.accessibility = await accessibility(browser);
    found.faults = [...browser.faults];
    found.requests = [...new Set(browser.requests)].filter((address) => !address.startsWith("blob:"));
    return found;
}

const pages = process.argv.slice(2);
const folder = pages[0] === "--pictures" ? pages.splice(0, 2)[1] : undefined;
const browser = new Browser();
try {
    await browser.open();
    const all = [];
    for (const page of pages) all.push(await inspect(browser, page, folder));
    console.log(JSON.stringify(all, null, 1));
} finally {
    await browser.close();
}
