/** The place of the answers: state, refusals, and the pieces that C++ draws. */

const element = (name, style, text) => {
    const made = document.createElement(name);
    if (style) made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
};

/** What each state says of the figures below it: a strong word, and a sentence. */
const states = {
    starting: ["Stored.", "The model is starting; the figures are the stored ones."],
    stored: ["Stored.", "Nothing is moved: these are the figures of this report."],
    moving: ["Computing.", "The figures still belong to the entries before this move."],
    preview: ["Preview.", "Coarse cells while you move; wait a moment for the certified answer."],
    certified: ["Certified.", "From a cold start, the same numbers as plenair solve with these options. "
        + "The band is still being computed."],
    banded: ["Certified.", "From a cold start, with its band: the same numbers as plenair solve with these options."],
    refused: ["Refused.", "No figures: the command line says the same."],
    lost: ["Did not converge.", "No figures are given."],
};

/** Pieces that fold: name of the part, heading, and the section of the report that holds what is stored, where the
 *  pieces of a point have it not. */
const folded = [["losses", "Losses"], ["trims", "Fuel and trims"], ["machining", "Sizes of the slot for the shop", "machinist"],
    ["drawing", "Drawing", "drawing"]];

/** What stands in the report itself is not repeated while nothing is moved. */
function inReport(id) {
    const section = document.getElementById(id);
    return section === null ? "" : `<p class="note">Nothing is moved: it stands under <a href="#${id}">${
        section.querySelector("h2").textContent}</a>.</p>`;
}

/** Puts HTML in a place unless it stands there already; whether it had to. */
function fill(place, html) {
    if (place.filled === html) return false;
    place.filled = html;
    place.innerHTML = html;
    // The same pieces stand in the report: a reader of landmarks tells these apart.
    for (const region of place.querySelectorAll("[role=region]")) {
        region.setAttribute("aria-label", `Working model: ${region.getAttribute("aria-label")}`);
    }
    return true;
}

export class Answer {
    /** @param opened called when a folded piece is opened */
    constructor(opened) {
        this.head = element("div", "answer-head");
        this.state = element("p", "state");
        this.state.setAttribute("role", "status");
        this.faults = element("div", "faults");
        this.faults.setAttribute("role", "alert");
        this.faults.hidden = true;
        this.before = this.panel("As stored");
        this.now = this.panel("With the moves");
        const pair = element("div", "pair");
        pair.append(this.before.outer, this.now.outer);
        this.head.append(this.state, this.faults, pair);
        this.figures = element("div", "figures");
        this.watch = element("div");
        this.more = element("div", "more");
        this.pieces = new Map(folded.map(([part, heading]) => [part, this.piece(part, heading, opened)]));
        this.inReport = Object.fromEntries(folded.filter(([, , section]) => section)
            .map(([part, , section]) => [part, inReport(section)]));
    }

    panel(caption) {
        const outer = element("figure", "panels");
        const place = element("div", "place");
        outer.append(element("figcaption", "", caption), place);
        return { outer, place };
    }

    piece(part, heading, opened) {
        const details = element("details", "piece");
        details.dataset.part = part;
        details.open = part === "losses";  // the drawing stands in the report; here it shows the moves
        const place = element("div", "place");
        details.append(element("summary", "", heading), place);
        details.addEventListener("toggle", () => { if (details.open) opened(); });
        this.more.append(details);
        const piece = { details, place, seen: true };
        new IntersectionObserver(([entry]) => { piece.seen = entry.isIntersecting; }).observe(details);
        return piece;
    }

    /** Parts to ask for: those that are open; while entries move, of these the ones in sight. */
    parts(moving = false) {
        return ["figures", "bias", "row", "watch", ...[...this.pieces]
            .filter(([, { details, seen }]) => details.open && (seen || !moving)).map(([part]) => part)];
    }

    say(state) {
        if (this.shown === state) return;
        this.shown = state;
        const [word, sentence] = states[state];
        this.state.dataset.state = state;
        this.state.replaceChildren(element("strong", "", word), ` ${sentence}`);
    }

    /** What stands in the report for this point; the stored figures of one that has none say so. */
    stored(point) {
        this.before.place.innerHTML = point.html ? point.html.bias : "";
        if (!point.html) this.before.place.append(element("p", "note", `${point.name} did not converge.`));
        this.storedFigures = point.html ? figuresOf(point.html.figures) : new Map();
    }

    /** The entries have moved on: what stands here is of others, and looks so where that lasts. */
    outdate() {
        if (this.shown !== "preview") this.say("moving");
        if (!this.late) this.late = setTimeout(() => this.pale(true), 250);
    }

    pale(there) {
        clearTimeout(this.late);
        this.late = null;
        for (const place of [this.now.outer, this.figures, this.watch, this.more]) place.classList.toggle("outdated", there);
    }

    /** @param html pieces by part; parts that are not there lose what stood in their places */
    show(html, state) {
        const moved = state !== "stored" && state !== "starting";
        const pieces = moved ? html : { ...this.inReport, ...html };
        this.say(state);
        this.pale(false);
        this.faults.hidden = true;
        fill(this.now.place, html.bias || "");
        fill(this.figures, html.figures || "");
        fill(this.watch, html.watch ? `<h3>Watch</h3>${html.watch}` : "");
        for (const [part, { details, place }] of this.pieces) {
            place.classList.toggle("outdated", pieces[part] === undefined && state === "preview");
            if (pieces[part] !== undefined) {
                fill(place, pieces[part] || "<p class=\"note\">This case has nothing of the kind.</p>");
            } else if (!details.open) {
                fill(place, "");
            }
        }
        this.compare(moved);
    }

    /** Under each figure what the report has in its place, where that differs. */
    compare(moved) {
        for (const old of this.figures.querySelectorAll(".was")) old.remove();
        if (!moved) return;
        for (const tile of this.figures.querySelectorAll(".tiles > div")) {
            const before = this.storedFigures.get(tile.querySelector("dt").textContent);
            const now = tile.querySelector("strong").textContent;
            if (before !== undefined) tile.querySelector("dd").append(element("span", "was",
                before === now ? "as stored" : `stored ${before}`));
        }
    }

    /** No figures: nothing that belongs to other entries may be left standing. */
    fail(errors, state) {
        this.show({}, state);
        for (const { place } of this.pieces.values()) fill(place, "");
        this.faults.replaceChildren(...errors.map((text) => element("p", "", text)));
        this.faults.hidden = false;
    }
}

function figuresOf(html) {
    const box = element("div");
    box.innerHTML = html;
    return new Map([...box.querySelectorAll(".tiles > div")].map((tile) => [
        tile.querySelector("dt").textContent, tile.querySelector("strong").textContent]));
}
