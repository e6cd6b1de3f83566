/** Table over all points with the moved entries: every row says whether it stands. */
export class Points {
    constructor(points, heads) {
        this.points = points;
        this.outer = document.createElement("div");
        this.outer.className = "scroll";
        this.outer.tabIndex = 0;
        this.outer.setAttribute("role", "region");
        this.outer.setAttribute("aria-label", "All points");
        this.outer.innerHTML = "<table><caption><span>All points, bias of each cylinder in % of the mean air. "
            + "Losses: throttle, slot and bell mouths together, % of the pressure</span></caption>"
            + `<thead>${heads}</thead><tbody></tbody></table>`;
        this.body = this.outer.querySelector("tbody");
        const head = this.outer.querySelector("thead tr");
        head.insertAdjacentHTML("beforeend", "<th scope=\"col\" class=\"word\">State</th>");
        this.columns = head.children.length;
        this.rows = new Map();
        this.reset();
    }

    reset() {
        this.body.replaceChildren();
        for (const point of this.points) {
            this.rows.set(point.name, this.body.appendChild(document.createElement("tr")));
            if (point.html) this.put(point.name, point.html.row, "as stored");
            else this.lost(point.name, "as stored: did not converge");
        }
    }

    /** All rows are of other entries from now on. */
    outdate() {
        for (const [name, row] of this.rows) {
            if (row.classList.contains("outdated")) continue;
            row.classList.add("outdated");
            this.state(name, "of other entries");
        }
    }

    put(name, html, state) {
        const box = document.createElement("tbody");
        box.innerHTML = html;
        const row = box.firstElementChild;
        this.rows.get(name).replaceWith(row);
        this.rows.set(name, row);
        row.insertAdjacentHTML("beforeend", "<td class=\"word\"></td>");
        this.state(name, state);
    }

    lost(name, state) {
        const row = document.createElement("tr");
        row.innerHTML = "<th scope=\"row\"></th>" + "<td class=\"none\">-</td>".repeat(this.columns - 2)
            + "<td class=\"word\"></td>";
        row.firstElementChild.textContent = name;
        this.rows.get(name).replaceWith(row);
        this.rows.set(name, row);
        this.state(name, state);
    }

    state(name, text) {
        this.rows.get(name).lastElementChild.textContent = text;
    }
}
