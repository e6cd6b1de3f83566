/** Controls of the entries: a slider, a number with its unit, and a reset for each number. */

let ids = 0;

const element = (name, style, text) => {
    const made = document.createElement(name);
    if (style) made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
};

/** A number of an entry with slider and field that show the same; `moved` is called after a change. */
class NumberControl {
    constructor(entry, number, moved) {
        this.number = number;
        this.original = number.value.toFixed(this.digits());
        this.moved = moved;
        this.unit = entry.unit.replace(/2$/, "\u00b2");
        this.row = element("div", "entry");
        this.row.dataset.key = entry.key;
        const id = `move-${++ids}`;
        const label = element("label", "entry-name", number.label.replace("x = 0", "x\u00a0=\u00a00"));
        label.htmlFor = id;
        this.slider = this.makeSlider(id);
        const track = element("span", "track");
        const origin = element("span", "origin");
        origin.title = `in the case: ${this.original} ${entry.unit}`;
        const part = (number.value - number.low) / (number.high - number.low);
        origin.style.setProperty("--at", String(part));
        track.append(this.slider, origin);
        const field = element("label", "field");
        this.text = element("input");
        Object.assign(this.text, { type: "text", inputMode: "decimal", value: this.original, size: 7,
            autocomplete: "off", spellcheck: false });
        field.append(element("span", "unseen", `${number.label}, number`), this.text, element("span", "unit", this.unit));
        this.back = element("button", "back unmoved", "Reset");
        this.back.type = "button";
        this.back.setAttribute("aria-label", `Reset ${number.label} to ${this.original} ${entry.unit}`);
        this.row.append(label, track, field, this.back);
        this.listen();
        this.speak();
    }

    /** The case's own number may be finer than a step. */
    digits() {
        const exact = Number(this.number.value.toPrecision(10));
        let digits = this.number.decimals;
        while (digits < 6 && Math.abs(Number(exact.toFixed(digits)) - exact) > 1e-9 * Math.abs(exact)) digits += 1;
        return digits;
    }

    makeSlider(id) {
        const { low, high, step, value } = this.number;
        const slider = element("input");
        Object.assign(slider, { type: "range", id, min: low, max: high, step });
        slider.value = value;
        return slider;
    }

    listen() {
        this.slider.addEventListener("input", () => this.take(this.slid(), "slider"));
        this.text.addEventListener("input", () => this.take(this.text.value, "field"));
        this.text.addEventListener("keydown", (event) => {
            const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
            const now = Number(this.text.value);
            if (!way || !Number.isFinite(now)) return;
            event.preventDefault();
            this.take((now + way * this.number.step).toFixed(this.digits()), "keys");
        });
        this.back.addEventListener("click", () => {
            this.take(this.original, "reset");
            this.slider.focus();
        });
    }

    /** The slider's number; at the original's place the original to its last digit. */
    slid() {
        const value = Number(this.slider.value);
        return Math.abs(value - this.number.value) < 0.25 * this.number.step ? this.original
            : String(Number(value.toFixed(this.number.decimals + 6)));
    }

    take(text, from) {
        this.put(text, from);
        this.moved(this, from);
    }

    /** Shows a text without telling anybody. */
    put(text, from) {
        if (from !== "field") this.text.value = text;
        if (from !== "slider" && Number.isFinite(Number(text)) && text.trim() !== "") this.slider.value = Number(text);
        const away = text.trim() !== this.original;
        this.back.classList.toggle("unmoved", !away);
        this.row.classList.toggle("away", away);
        if (from !== "field") this.fault(false);
        this.speak();
    }

    get value() { return this.text.value; }

    fault(there) {
        if (there) this.text.setAttribute("aria-invalid", "true");
        else this.text.removeAttribute("aria-invalid");
    }

    speak() {
        this.slider.setAttribute("aria-valuetext", `${this.text.value} ${this.unit}`);
    }
}

/** All numbers of an entry; two ends that are equal in the case move together until parted. */
export class EntryControl {
    constructor(entry, moved) {
        this.entry = entry;
        this.outer = element("div", "entry-group");
        this.numbers = entry.numbers.map((number) => new NumberControl(entry, number, (n, from) => {
            if (this.tied && this.tied.checked) {
                for (const other of this.numbers) if (other !== n) other.put(n.value, "tie");
            }
            moved(this, n);
        }));
        this.outer.append(...this.numbers.map((n) => n.row));
        if (this.numbers.length > 1 && this.numbers.every((n) => n.original === this.numbers[0].original)) this.tie();
    }

    tie() {
        const label = element("label", "tie");
        this.tied = element("input");
        Object.assign(this.tied, { type: "checkbox", checked: true });
        label.append(this.tied, " both ends together");
        this.outer.append(label);
    }

    texts() { return this.numbers.map((n) => n.value); }

    get away() { return this.numbers.some((n) => n.value.trim() !== n.original); }

    reset() {
        for (const n of this.numbers) n.put(n.original, "reset");
        if (this.tied) this.tied.checked = true;
    }
}
