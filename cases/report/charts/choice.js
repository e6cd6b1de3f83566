let groups = 0;

/** A row of radio buttons. @param choices [{label, value}], @param changed called with the value */
export function choice(legend, choices, chosen, changed) {
    const name = `choice-${++groups}`;
    const set = document.createElement("fieldset");
    const head = document.createElement("legend");
    head.textContent = legend;
    set.append(head);
    for (const { label, value } of choices) {
        const outer = document.createElement("label");
        outer.className = "choice";
        const input = document.createElement("input");
        input.type = "radio";
        input.name = name;
        input.checked = value === chosen;
        input.addEventListener("change", () => changed(value));
        const text = document.createElement("span");
        text.textContent = label;
        outer.append(input, text);
        set.append(outer);
    }
    return set;
}

/** A place for controls above a plot. */
export function controls(plot) {
    const row = document.createElement("div");
    row.className = "controls";
    plot.before(row);
    return row;
}
