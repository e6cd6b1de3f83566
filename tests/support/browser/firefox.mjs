// Drives a headless Firefox over its own remote control (a length, a colon, JSON), with nothing but
// Node. The same calls as browser.mjs, as far as the tasks of live.mjs need them.
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";

const pause = (time) => new Promise((done) => setTimeout(done, time));

const preferences = {
    "marionette.port": 0, "browser.shell.checkDefaultBrowser": false, "toolkit.telemetry.reportingpolicy.firstRun": false,
    "datareporting.policy.dataSubmissionEnabled": false, "app.update.auto": false, "browser.startup.page": 0,
    "network.captive-portal-service.enabled": false, "network.connectivity-service.enabled": false,
    // No network: every address but that of a file goes nowhere.
    "network.proxy.type": 1, "network.proxy.http": "127.0.0.1", "network.proxy.http_port": 1,
    "network.proxy.ssl": "127.0.0.1", "network.proxy.ssl_port": 1,
};

export class Firefox {
    constructor(program = "firefox-esr") {
        this.profile = mkdtempSync(join(tmpdir(), "plenair-firefox-"));
        writeFileSync(join(this.profile, "user.js"), Object.entries(preferences)
            .map(([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`).join(""));
        this.process = spawn(program, ["--headless", "--marionette", "--no-remote", "--profile", this.profile],
            { stdio: "ignore", env: { ...process.env, HOME: this.profile, MOZ_DISABLE_AUTO_SAFE_MODE: "1" } });
        this.process.on("error", (error) => { this.dead = error.message; });
        this.process.on("exit", () => { this.dead = this.dead || "ended"; });
        this.waiting = new Map();
        this.next = 1;
        this.faults = [];
        this.requests = [];
    }

    async port() {
        const place = join(this.profile, "MarionetteActivePort");
        for (let tries = 0; tries < 600; ++tries) {
            if (this.dead) throw new Error(`firefox: ${this.dead}`);
            if (existsSync(place)) {
                const port = Number(readFileSync(place, "utf8"));
                if (port > 0) return port;
            }
            await pause(50);
        }
        throw new Error("firefox: does not answer");
    }

    receive(part) {
        this.text = Buffer.concat([this.text, part]);
        for (;;) {
            const colon = this.text.indexOf(":");
            if (colon < 0) return;
            const length = Number(this.text.subarray(0, colon).toString());
            if (this.text.length < colon + 1 + length) return;
            const message = JSON.parse(this.text.subarray(colon + 1, colon + 1 + length).toString());
            this.text = this.text.subarray(colon + 1 + length);
            if (!Array.isArray(message)) { this.greeted(); continue; }
            const [, id, error, result] = message;
            const waiting = this.waiting.get(id);
            this.waiting.delete(id);
            if (error) waiting.reject(new Error(`${error.error}: ${error.message}`));
            else waiting.resolve(result);
        }
    }

    ask(name, parameters = {}) {
        const id = this.next++;
        const text = Buffer.from(JSON.stringify([0, id, name, parameters]));
        return new Promise((resolve, reject) => {
            this.waiting.set(id, { resolve, reject });
            this.socket.write(Buffer.concat([Buffer.from(`${text.length}:`), text]));
        });
    }

    async open() {
        this.text = Buffer.alloc(0);
        const greeting = new Promise((done) => { this.greeted = done; });
        this.socket = connect(await this.port(), "127.0.0.1");
        this.socket.on("data", (part) => this.receive(part));
        this.socket.on("error", (error) => { for (const { reject } of this.waiting.values()) reject(error); });
        await greeting;
        await this.ask("WebDriver:NewSession", { capabilities: { alwaysMatch: { pageLoadStrategy: "normal" } } });
        await this.ask("WebDriver:SetTimeouts", { script: 90000, pageLoad: 90000 });
    }

    /** What only the other browser's protocol knows is done by the preferences above, or not at all. */
    async send() { return {}; }

    async visit(url) { await this.ask("WebDriver:Navigate", { url }); }

    /** @param code an expression, or statements that end in "; undefined" */
    async evaluate(code) {
        const body = code.endsWith("; undefined") ? code : `return ${code}`;
        const script = `const done = arguments[arguments.length - 1];
            (async () => { ${body}\n })().then((value) => done({ value: value === undefined ? null : value }),
                (error) => done({ error: String(error) + " " + ((error || {}).stack || "") }));`;
        const { value } = await this.ask("WebDriver:ExecuteAsyncScript",
            { script, args: [], newSandbox: false, sandbox: null, scriptTimeout: 90000 });
        if (value.error) throw new Error(value.error);
        return value.value;
    }

    async size(width, height) { await this.ask("WebDriver:SetWindowRect", { width, height }); }

    async close() {
        const ended = new Promise((resolve) => this.process.once("exit", resolve));
        if (!this.dead) {
            if (this.socket) this.ask("Marionette:Quit", { flags: ["eForceQuit"] }).catch(() => {});
            else this.process.kill();
            await Promise.race([ended, pause(10000)]);
            if (!this.dead) this.process.kill("SIGKILL");
        }
        if (this.socket) this.socket.destroy();
        rmSync(this.profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
    }
}
