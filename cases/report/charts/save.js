/** Pictures as SVG files and numbers as CSV files, made in the page. */

const shown = ["fill", "fill-opacity", "stroke", "stroke-width", "stroke-dasharray", "stroke-opacity", "opacity",
    "font-size", "font-weight", "font-family", "text-anchor", "visibility"];

/** A copy that looks the same without the page's style sheet. */
function detached(svg) {
    const copy = svg.cloneNode(true);
    const originals = [svg, ...svg.querySelectorAll("*")], copies = [copy, ...copy.querySelectorAll("*")];
    originals.forEach((original, i) => {
        const style = getComputedStyle(original);
        for (const name of shown) {
            const value = style.getPropertyValue(name);
            if (value) copies[i].setAttribute(name, value);
        }
        copies[i].removeAttribute("class");
    });
    return copy;
}

/** All drawings of a figure as one SVG text, each where it stands in the page. */
export function svgOf(figure) {
    const drawings = [...figure.querySelectorAll("svg")];
    const boxes = drawings.map((svg) => svg.getBoundingClientRect());
    const left = Math.min(...boxes.map((b) => b.left)), top = Math.min(...boxes.map((b) => b.top));
    const width = Math.ceil(Math.max(...boxes.map((b) => b.right)) - left);
    const height = Math.ceil(Math.max(...boxes.map((b) => b.bottom)) - top);
    const outer = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    outer.setAttribute("viewBox", `0 0 ${width} ${height}`);
    outer.setAttribute("width", width);
    outer.setAttribute("height", height);
    outer.setAttribute("color", getComputedStyle(figure).color);
    const paper = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    paper.setAttribute("width", "100%");
    paper.setAttribute("height", "100%");
    paper.setAttribute("fill", getComputedStyle(document.querySelector("section") || document.body).backgroundColor);
    outer.append(paper);
    drawings.forEach((svg, i) => {
        const copy = detached(svg);
        for (const [name, value] of Object.entries({ x: boxes[i].left - left, y: boxes[i].top - top,
            width: boxes[i].width, height: boxes[i].height })) copy.setAttribute(name, value);
        outer.append(copy);
    });
    return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(outer)}\n`;
}

/** One cell after RFC 4180; a text that a table program would run as a formula gets a mark. */
function cell(value) {
    const text = value === null || value === undefined ? "" : String(value).replace(/\s+/g, " ").trim();
    const safe = typeof value === "string" && /^[=@]|^[+\-](?![\d.]+$)/.test(text) ? `'${text}` : text;
    return /[",\n]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
}

export const csvOf = (rows) => rows.map((row) => row.map(cell).join(",")).join("\n") + "\n";

/** A table of the page as rows; a true minus sign becomes that of numbers. */
export function rowsOf(table) {
    const text = (part) => {
        const copy = part.cloneNode(true);
        for (const line of copy.querySelectorAll("br")) line.replaceWith(" ");
        return copy.textContent.replace(/\u2212/g, "-");
    };
    const number = (words) => (/^[+-]?\d+(\.\d+)?$/.test(words.trim()) ? Number(words) : words);
    return [...table.rows].map((row) => [...row.cells]
        .flatMap((part) => [number(text(part)), ...Array(part.colSpan - 1).fill("")]));
}

function give(name, kind, text) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: `${kind};charset=utf-8` }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

const plainName = (text) => text.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "chart";

function button(words, what, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.setAttribute("aria-label", `${words}: ${what}`);
    made.addEventListener("click", act);
    return made;
}

/** Buttons under every figure with a drawing, and under every table. */
export function offerFiles(root) {
    const name = plainName(document.querySelector("h1").textContent);
    const tools = (after, what, kinds) => {
        const row = document.createElement("p");
        row.className = "save";
        if (kinds.svg) row.append(button("SVG", what, () => give(`${name}-${plainName(what)}.svg`, "image/svg+xml", kinds.svg())));
        if (kinds.csv) row.append(button("CSV", what, () => give(`${name}-${plainName(what)}.csv`, "text/csv", kinds.csv())));
        after.after(row);
    };
    for (const figure of root.querySelectorAll("section:not(#model) figure")) {
        const svg = figure.querySelector("svg");
        if (!svg) continue;
        const plot = figure.querySelector(".plot");
        const what = figure.dataset.label || figure.closest("section").querySelector("h2").textContent +
            (figure.className ? `, ${figure.className.replace(/-/g, " ")}` : "");
        tools(figure.querySelector("figcaption") || figure.lastElementChild, what, {
            svg: () => svgOf(figure),
            csv: plot && plot.numbers ? () => csvOf(plot.numbers().rows) : undefined,
        });
    }
    for (const table of root.querySelectorAll("section:not(#model) .scroll > table")) {
        tools(table.parentElement, table.parentElement.getAttribute("aria-label") || "table",
            { csv: () => csvOf(rowsOf(table)) });
    }
}
