import { Model } from "./workers.js";

/**
 * What may take its time, in a worker of its own: bands, the other points, the curve. A job is an
 * async generator of requests; a new job drops the one before, and a worker that is busy with a long
 * request of a dropped job is replaced.
 */
export class Background {
    constructor(model) {
        this.model = model;
        this.job = 0;
        this.long = false;
    }

    /** @param steps [{request, long, got}], asked one after the other; `got` takes the answer */
    async run(steps) {
        const job = ++this.job;
        if (this.worker && this.long) {
            this.worker.stop();
            this.worker = null;
        }
        for (const { request, long, got } of steps) {
            if (job !== this.job) return;
            if (!this.worker) this.worker = new Model(this.model);
            this.long = Boolean(long);
            const answer = await this.worker.ask(request).catch(() => null);
            if (job !== this.job) return;
            this.long = false;
            if (answer) got(answer);
        }
    }

    drop() { return this.run([]); }
}
