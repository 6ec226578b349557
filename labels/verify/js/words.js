// The page's languages. An English sentence is the name of its translations; what
// stands in it of a paper's is a hole, {1}, and goes into the translation as it is.

// The languages by their own names.
export const LANGUAGES = Object.freeze({
    en: "English", fr: "Français", de: "Deutsch", es: "Español",
});
const HOLE = /\{[0-9]\+?\}/;
const tongue = { name: "en", whole: new Map(), shaped: [] };

// Gives the first of somebody's languages that the page knows, else English.
export function firstLanguage(wanted) {
    const short = wanted.map((name) => String(name).slice(0, 2).toLowerCase());
    return short.find((name) => Object.hasOwn(LANGUAGES, name)) || "en";
}

// Takes a language for all that is said from now on.
export function chooseLanguage(name) {
    tongue.name = Object.hasOwn(LANGUAGES, name) ? name : "en";
    const pairs = Object.entries(tongue.name === "en" ? {} : TRANSLATIONS[tongue.name]);
    tongue.whole = new Map(pairs.filter(([english]) => !HOLE.test(english)));
    tongue.shaped = pairs.filter(([english]) => HOLE.test(english))
        .map(([english, said]) => ({ parts: english.split(HOLE), said }))
        .sort((one, other) => ownWords(other.parts) - ownWords(one.parts));
    return tongue.name;
}

// Gives the language that is spoken.
export function spoken() {
    return tongue.name;
}

// Gives a sentence of the page or of its reader in the language that was chosen, and in
// English where it has no translation.
export function say(english) {
    const known = tongue.whole.get(english);
    if (known !== undefined) {
        return known;
    }
    for (const { parts, said } of tongue.shaped) {
        const holes = holesIn(english, parts);
        if (holes !== null) {
            // A plus marks a hole in which a sentence of ours stands, and no paper's.
            return said.replace(/\{([0-9])(\+?)\}/g, (_, n, isOurs) =>
                isOurs ? say(holes[n - 1]) : holes[n - 1]);
        }
    }
    return english;
}

// Gives works in a row, or one word of the trade, as the papers have them in the
// language; a shop's own words stay as they are.
export function sayTrade(works) {
    return works.split(", ").map((work) => {
        // A step that somebody saw or helped with says so behind it.
        const at = work.endsWith(")") ? work.lastIndexOf(" (") : -1;
        const [step, how] = [work.slice(0, at), work.slice(at + 2, -1)];
        return at < 0 ? tradeWord(work) : `${tradeWord(step)} (${tradeWord(how)})`;
    }).join(", ");
}

function tradeWord(english) {
    const known = TRADE[tongue.name] || {};
    return Object.hasOwn(known, english) ? known[english] : english;
}

// Of two sentences that fit, the one with more words of its own is meant; and one that
// begins with a hole, which fits nearly all, only where no other does.
function ownWords(parts) {
    return parts.join("").length + (parts[0] === "" ? 0 : 1000);
}

// Gives what stands between the parts of a sentence, in one pass, or null.
function holesIn(text, parts) {
    const last = parts[parts.length - 1];
    const end = text.length - last.length;
    if (!text.startsWith(parts[0]) || !text.endsWith(last)) {
        return null;
    }
    const holes = [];
    let at = parts[0].length;
    for (const part of parts.slice(1, -1)) {
        const next = text.indexOf(part, at);
        if (next < 0) {
            return null;
        }
        holes.push(text.slice(at, next));
        at = next + part.length;
    }
    return at <= end ? [...holes, text.slice(at, end)] : null;
}
