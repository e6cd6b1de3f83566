import source from "./worker.txt";

/** A worker with the model of one case in it. */
export class Model {
    /** @param model {module, text, name}: WebAssembly in base64, case text, its name in messages */
    constructor(model, lost = () => {}) {
        const address = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
        this.worker = new Worker(address);
        URL.revokeObjectURL(address);
        this.answers = [];
        this.ready = new Promise((resolve, reject) => {
            this.worker.onerror = (event) => {
                event.preventDefault();
                const fault = new Error(event.message || "the worker did not start");
                reject(fault);
                for (const asked of this.answers.splice(0)) asked.lost(fault);
                lost(fault);
            };
            this.worker.onmessage = ({ data }) => {
                if (data.ready) resolve();
                else if (data.fault) reject(new Error(data.fault));
                else this.answers.shift().got(JSON.parse(data.answer));
            };
        });
        this.worker.postMessage(model);
    }

    /** One answer after the other, in the order of the requests. */
    ask(request) {
        return this.ready.then(() => new Promise((got, lost) => {
            this.answers.push({ got, lost });
            this.worker.postMessage({ request: JSON.stringify(request) });
        }));
    }

    stop() {
        this.worker.terminate();
        for (const asked of this.answers.splice(0)) asked.lost(new Error("stopped"));
    }
}
