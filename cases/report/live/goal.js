import { valueText } from "./set.js";

const element = (name, style, text) => {
    const made = document.createElement(name);
    if (style) made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
};

const lowest = 0.5, highest = 20;  // %, as --target

/** Every step of a number's track. */
export function trackValues(number) {
    const steps = Math.round((number.high - number.low) / number.step);
    return Array.from({ length: steps + 1 }, (_, i) => Number((number.low + i * number.step).toFixed(number.decimals)));
}

/** What a reader wants: a spread that is not to be passed, and the slot width that keeps it. */
export class Goal {
    /** @param controls of the entries; without a slot's width among them there is nothing to choose
     *  @param target   spread in %, to begin with
     *  @param changed  called with a new target
     *  @param pressed  called when a width is to be chosen */
    constructor(controls, target, changed, pressed) {
        this.control = controls.find((c) => /(^|\.)slot\.width$/.test(c.entry.key));
        this.target = target;
        this.label = element("label", "goal", "Target spread ");
        this.field = element("input");
        Object.assign(this.field, { type: "number", min: lowest, max: highest, step: 0.1, value: target });
        this.label.append(this.field, " %");
        this.field.addEventListener("input", () => this.read(changed));
        this.button = element("button", "", "Choose width");
        this.button.type = "button";
        this.button.hidden = !this.control;
        this.button.addEventListener("click", pressed);
        this.said = element("p", "note choice");
        this.said.setAttribute("role", "status");
        this.said.hidden = true;
    }

    read(changed) {
        const target = this.field.valueAsNumber, fault = !(target >= lowest && target <= highest);
        this.button.disabled = fault;
        if (fault) {
            this.field.setAttribute("aria-invalid", "true");
            return;
        }
        this.field.removeAttribute("aria-invalid");
        this.target = target;
        this.say("");
        changed(this.target);
    }

    say(text) {
        this.said.textContent = text;
        this.said.hidden = text === "";
        this.button.disabled = false;
    }

    wait() {
        const { numbers } = this.control;
        this.say(`Looking for the ${numbers[0].number.label.replace(/, at x.*/, "").toLowerCase()} between `
            + `${numbers[0].number.low} and ${numbers[0].number.high} ${this.control.entry.unit} that keeps `
            + `${this.target} % at every point.`);
        this.button.disabled = true;
    }

    /** What to ask of the model. @param sets overrides of the other entries @param points names */
    request(sets, points) {
        const { entry, numbers } = this.control;
        this.values = trackValues(numbers[0].number);
        this.texts = this.values.map((value) => valueText(entry, numbers.map(() => String(value))));
        return { kind: "choose", key: entry.key, set: sets, values: this.texts, points, target_percent: this.target };
    }

    /** The number of an answer, put into its fields; whether there was one. */
    take(got) {
        const at = got.ok && got.value !== undefined ? this.texts.indexOf(got.value) : -1;
        if (at < 0) return false;
        for (const n of this.control.numbers) n.put(this.values[at].toFixed(n.digits()), "choice");
        return true;
    }
}
