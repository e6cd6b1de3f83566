/**
 * One request at a time, and at most one that waits: a newer one takes the place of the one waiting,
 * for nobody wants the answer to where the slider stood before.
 */
export class Latest {
    /** @param ask gives a promise of the answer, @param show called with request and answer */
    constructor(ask, show) {
        this.ask = ask;
        this.show = show;
        this.waiting = null;
        this.busy = false;
    }

    put(request) {
        this.waiting = request;
        this.next();
    }

    next() {
        if (this.busy || this.waiting === null) return;
        const request = this.waiting;
        this.waiting = null;
        this.busy = true;
        this.ask(request).then((answer) => this.show(request, answer), () => {}).then(() => {
            this.busy = false;
            this.next();
        });
    }
}
