// What the shop's status list says of a certificate that was signed, in words.

import { ageOf, quotedOf, sayingOf, wordOf } from "./rows.js";

const SAID = Object.freeze({
    withdrawn: "withdrawn by the shop: ask it why",
    reported: "reported: contact the maker before you buy or hand it over",
    superseded: "superseded: the shop issued a newer certificate of this instrument; " +
        "this one is true as of its day",
});
const NO_LIST =
    "no list of the shop’s is here, so whether it was superseded, withdrawn or " +
    "reported since is not known";

// Tells whether the shop's own list takes the green from a YES.
export function isDoubted(standing) {
    return Boolean(standing) &&
        standing.states.some((state) => state === "withdrawn" || state === "reported");
}

// Gives a line for each thing that the list says, or that there is no list.
export function standingWords(standing, index, today) {
    if (!standing) {
        return [];
    }
    const { list, states } = standing;
    if (list === null) {
        return [quotedOf(NO_LIST)];
    }
    const lines = ["withdrawn", "reported", "superseded"]
        .filter((state) => states.includes(state))
        .map((state) => ({ ...quotedOf(SAID[state]), form: "grave" }));
    const whose = [
        wordOf(list.number, "data", " of ", lines.length ? "so says status list "
            : "nothing is said against it in status list "),
        wordOf(list.issued, "data", `, ${ageOf(list.issued, today)}`),
    ];
    const more = [];
    if (list.size <= index) {
        more.push(quotedOf("the list is older than this certificate"));
    }
    if (isOverdue(list, today)) {
        more.push(overdueWord(list));
    }
    return [...lines, whose, ...more];
}

// Gives words on the list that is held: its number, its day and its age.
export function wordsOfList(held, today) {
    if (held === null) {
        return [quotedOf("This page holds no status list of the shop’s.")];
    }
    const { list, isOwn } = held;
    const whose = isOwn ? "The status list in this page is number "
        : "The status list that you added is number ";
    const words = [wordOf(list.number, "data", " of ", whose),
        wordOf(list.issued, "data", `, ${ageOf(list.issued, today)}.`)];
    return isOverdue(list, today)
        ? [...words, sayingOf("A newer one was due: ask the shop for it.")] : words;
}

function isOverdue(list, today) {
    return list.next < today;
}

function overdueWord(list) {
    return wordOf(list.next, "data", ": get the newer one",
        "this list was to be replaced on ");
}
