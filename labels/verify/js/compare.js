// What to compare by eye: a card can be copied, and a copy fits any instrument that
// somebody puts it in.

import { gramsWord, quotedOf, wordOf } from "./rows.js";

const DIGITS = 16;

// Gives what to look at, a line for each thing, and the photographs that are known.
export function comparisonOfAnswer({ facts, card }) {
    const paper = facts || card;
    if (paper === null) {
        return null;
    }
    const woods = facts ? facts.materials.map(({ species }) => species)
        : card.species.map(([name]) => name).filter((name) => name !== "+");
    const named = Array.from(new Set(woods), (name) => wordOf(name, "species"));
    const marks = [
        [wordOf(paper.serial, "serial", "",
            "the number inside, character by character: ")],
        [wordOf(paper.model, "", ", certified in ", "model: "),
            wordOf(paper.issued_on.slice(0, 4), "data")],
        [{ ...wordOf(massWord(facts, card), "mass", " when it left; strings and dust " +
            "change little", "weigh it: "), remarks: [] }],
        named.map((word, n) => ({ ...word, before: n ? ", " : "its woods, by eye: " })),
        paperWords(facts, card),
        [quotedOf("A copy of this can be put beside any instrument: the wood, " +
            "the number inside and the mass must fit.")],
    ];
    return { marks: marks.filter((words) => words.length),
        photographs: facts ? facts.photographs : [] };
}

function massWord(facts, card) {
    return facts ? gramsWord(facts.mass_mg) : `${card.mass_g}\u2009g`;
}

function paperWords(facts, card) {
    if (card) {
        return [wordOf(card.number, "data", ": it names the makers and every part",
            "ask for certificate ")];
    }
    const { photographs } = facts;
    // The evidence pages print the same digits under each.
    const digests = photographs.map((digest, n) => wordOf(
        digest.slice(0, DIGITS), "data", n + 1 < photographs.length ? "…" : "…)",
        n ? ", " : " (SHA-256 "));
    return photographs.length === 0 ? [] : [quotedOf(
        "its photographs: ask the shop for the files, and open one below"), ...digests];
}
