/** Text of "--set key=value" options, as the command line takes them. */

const withNumber = (text, place, number) => text.split(`{${place}}`).join(number);

/** What stands behind the equals sign. @param texts what stands in the fields of the entry */
export function valueText(entry, texts) {
    const equal = texts.every((text) => text.trim() === texts[0].trim());
    return texts.reduce((text, number, place) => withNumber(text, place, number.trim()),
        equal || entry.several === "" ? entry.one : entry.several);
}

export const setText = (entry, texts) => `${entry.key}=${valueText(entry, texts)}`;

/** One word for a POSIX shell, whatever stands in it. */
export const quoted = (text) => (/^[\w.,/=+-]+$/.test(text) ? text : `'${text.replace(/'/g, "'\\''")}'`);

export const options = (sets) => sets.map((set) => `--set ${quoted(set)}`).join(" ");
