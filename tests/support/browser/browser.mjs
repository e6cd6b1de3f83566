// Drives a headless Chromium over its pipe (DevTools protocol), with nothing but Node.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export class Browser {
    constructor() {
        this.profile = mkdtempSync(join(tmpdir(), "plenair-browser-"));
        const sandbox = process.getuid && process.getuid() === 0 ? ["--no-sandbox"] : [];
        this.process = spawn("chromium", ["--headless=new", "--remote-debugging-pipe", ...sandbox,
            `--user-data-dir=${this.profile}`, "--no-first-run", "--disable-gpu", "--disable-dev-shm-usage",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            "--hide-scrollbars", "--force-color-profile=srgb"],
        { stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"] });
        this.waiting = new Map();
        this.listeners = [];
        this.next = 1;
        let text = "";
        this.process.stdio[4].setEncoding("utf8");
        this.process.stdio[4].on("data", (part) => {
            text += part;
            const messages = text.split("\0");
            text = messages.pop();
            for (const message of messages) this.receive(JSON.parse(message));
        });
        const fail = (reason) => {
            for (const { reject } of this.waiting.values()) reject(new Error(`chromium: ${reason}`));
            this.waiting.clear();
            this.dead = reason;
        };
        this.process.on("error", (error) => fail(error.message));
        this.process.on("exit", () => fail("ended"));
    }

    receive(message) {
        const waiting = this.waiting.get(message.id);
        if (waiting) {
            this.waiting.delete(message.id);
            if (message.error) waiting.reject(new Error(message.error.message));
            else waiting.resolve(message.result);
        } else {
            for (const listener of this.listeners) listener(message);
        }
    }

    send(method, params = {}) {
        if (this.dead) return Promise.reject(new Error(`chromium: ${this.dead}`));
        const id = this.next++;
        const message = { id, method, params };
        if (this.session) message.sessionId = this.session;
        return new Promise((resolve, reject) => {
            this.waiting.set(id, { resolve, reject });
            this.process.stdio[3].write(JSON.stringify(message) + "\0");
        });
    }

    /** One page; console messages and requests are kept from now on. */
    async open() {
        const { targetId } = await this.send("Target.createTarget", { url: "about:blank" });
        const { sessionId } = await this.send("Target.attachToTarget", { targetId, flatten: true });
        this.session = sessionId;
        this.faults = [];
        this.requests = [];
        this.listeners.push(({ method, params }) => {
            if (method === "Runtime.exceptionThrown") this.faults.push(params.exceptionDetails.text + " " +
                ((params.exceptionDetails.exception || {}).description || ""));
            if (method === "Runtime.consoleAPICalled" && ["error", "warning", "assert"].includes(params.type)) {
                this.faults.push(params.args.map((a) => a.value || a.description).join(" "));
            }
            if (method === "Log.entryAdded") this.faults.push(`${params.entry.level}: ${params.entry.text}`);
            if (method === "Network.requestWillBeSent") this.requests.push(params.request.url);
            if (method === "Page.loadEventFired") this.loaded && this.loaded();
        });
        for (const domain of ["Page", "Runtime", "Log", "Network"]) await this.send(`${domain}.enable`);
    }

    async visit(url) {
        const loaded = new Promise((resolve) => { this.loaded = resolve; });
        await this.send("Page.navigate", { url });
        await loaded;
    }

    async evaluate(code) {
        const { result, exceptionDetails } = await this.send("Runtime.evaluate",
            { expression: code, returnByValue: true, awaitPromise: true });
        if (exceptionDetails) throw new Error((exceptionDetails.exception || {}).description || exceptionDetails.text);
        return result.value;
    }

    async size(width, height) {
        await this.send("Emulation.setDeviceMetricsOverride", { width, height, deviceScaleFactor: 1, mobile: false });
        await this.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))");
    }

    /** @param scheme "light" | "dark", @param media "" | "print" */
    async appearance(scheme, media = "") {
        await this.send("Emulation.setEmulatedMedia",
            { media, features: [{ name: "prefers-color-scheme", value: scheme }] });
    }

    async screenshot() {
        const height = Math.ceil(await this.evaluate("document.documentElement.scrollHeight"));
        const width = await this.evaluate("innerWidth");
        const { data } = await this.send("Page.captureScreenshot",
            { format: "png", captureBeyondViewport: true, clip: { x: 0, y: 0, width, height, scale: 1 } });
        return Buffer.from(data, "base64");
    }

    /** @param paper in inches */
    async print(paper) {
        const settings = { paperWidth: paper[0], paperHeight: paper[1], printBackground: true, preferCSSPageSize: false,
            generateTaggedPDF: false,  // looked at as paper; half the time
            marginTop: 0.55, marginBottom: 0.55, marginLeft: 0.51, marginRight: 0.51 };
        for (let tries = 1; ; ++tries) {
            try {
                return Buffer.from((await this.send("Page.printToPDF", settings)).data, "base64");
            } catch (error) {
                // The browser's printing process, not the page, gives up on a machine without time for it.
                if (tries === 3 || error.message !== "Printing failed") throw error;
            }
        }
    }

    async close() {
        this.session = undefined;
        const ended = new Promise((resolve) => this.process.once("exit", resolve));
        if (!this.dead) {
            this.send("Browser.close").catch(() => {});
            await ended;
        }
        rmSync(this.profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
    }
}
