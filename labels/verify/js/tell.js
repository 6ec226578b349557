// What the page says for each answer: plain lists of words, before any of it is drawn.

import { comparisonOfAnswer } from "./compare.js";
import { ageOf, claimWords, entryWords, hasWords, keysWords, logWords, ourWords, partsOf, reasonWords, rowsOfCard, rowsOfFacts, signerWords, wordOf } from "./rows.js";
import { isDoubted, standingWords } from "./standing.js";

const WHAT_NEXT = Object.freeze({
    newer: "Perhaps the shop has a newer keys file. Add it, or ask the maker for " +
        "the newest copy of this page.",
    none: "This page holds no shop’s keys. Ask the shop itself for its keys file, " +
        "and add it here.",
    other: "This page is of one shop and its log. If the paper is of another shop, " +
        "ask that shop for its own page.",
    otherKeys: "The keys file that you added is of another log. If you know whose " +
        "paper this is, ask that shop for its keys file, and add it here.",
    nothing: "A scan, a print or a picture holds no signature. Ask for the " +
        "certificate’s own file (PDF), as the shop made it, or type the digits of " +
        "the card.",
    unread: "Open it again. If it fails again, ask the shop for the file.",
    record: "Ask the shop for a proof with its record in it.",
    square: "Open the certificate, or show the square on the owner’s card.",
    browser: "This browser cannot check the signatures (Ed25519). Open this page in " +
        "a newer one.",
});
const COMES_LATER = Object.freeze(
    ["made by", "in the log", "signed", "log", "checked by"]);
const WHAT_IT_IS_NOT = Object.freeze({
    YES: "This page cannot know whether the instrument was sold, stolen or repaired " +
        "since, nor whether the words printed around the certificate were retyped. " +
        "It is a maker’s statement from workshop records, no title and no permit.",
    "YES, BUT": "It is a maker’s statement from workshop records, no title and no " +
        "permit, and the shop says more of it since than is printed on it.",
    NO: "Nothing on it is shown as fact. A file cut short or a card misread can also " +
        "fail: ask for the file again, or scan the card again.",
    "CANNOT TELL": "No answer is not a yes. This page says YES only with the shop’s " +
        "own keys.",
    "": "Everything happens on this device: nothing is sent, and nothing is kept but " +
        "the number of the newest status list.",
});

// Gives all that the page says for an answer: lead, rows, parts, next and limits.
// `about` says { hasKeys, isStrange, canCheck, today }.
export function wordsFor(answer, about) {
    const makers = { YES: wordsOfYes, NO: wordsOfNo, "CANNOT TELL": wordsOfNeither };
    return { word: answer.word, limits: WHAT_IT_IS_NOT[answer.word], compare: null,
        ...makers[answer.word](answer, about) };
}

// Gives what to do before anything is opened.
export function wordsAtFirst(about) {
    const isWanting = about.canCheck && !about.hasKeys;
    return {
        word: "",
        lead: ["Open the certificate’s PDF or the file in it, or paste what the " +
            "square on a card says. This page answers YES; YES, BUT; NO; or CANNOT " +
            "TELL.", ""],
        rows: [], parts: [], compare: null, limits: WHAT_IT_IS_NOT[""],
        next: about.canCheck ? (isWanting ? WHAT_NEXT.none : "") : WHAT_NEXT.browser,
        likely: isWanting ? "add" : "open",
    };
}

// Gives words on a keys file: its day and age, its log and how far it reaches.
export function wordsOfKeys(keys, isAdded, today) {
    const whose = isAdded ? "that you added" : "in this page";
    const reach = `, ${ageOf(keys.date, today)}, number ${keys.number}, for the ` +
        `first ${keys.size} entries of the log `;
    return [wordOf(keys.date, "data", reach, `The keys file ${whose} is of `),
        wordOf(keys.origin, "data", ".")];
}

function wordsOfYes(answer, about) {
    const whose = about.isStrange ? "the shop whose keys file you added" : "this shop";
    const isPaper = answer.facts !== null || answer.card !== null;
    const { standing } = answer;
    const rows = answer.card ? rowsOfCard(answer.card) : rowsOfFacts(answer);
    if (!isPaper) {
        rows.push(["says", [wordOf(answer.said, "data")]]);
    }
    const status = ["status", standingWords(standing, answer.index, about.today)];
    rows.splice(isDoubted(standing) ? 0 : rows.length, 0, status);
    rows.push(["in the log", entryWords(answer)], ["signed", signerWords(answer)],
        ["log", about.isAdded ? logWords(answer) : []],
        ["checked by", keysWords(answer, about.today)]);
    const parts = partsOf(answer.facts);
    const worded = isDoubted(standing)
        ? { word: "YES, BUT", limits: WHAT_IT_IS_NOT["YES, BUT"] } : {};
    // What is compared by eye comes before a list of hands that may be long.
    const some = rows.filter(hasWords);
    return { ...worded, lead: leadOfYes(whose, isPaper, standing),
        rows: some.filter(([label]) => !COMES_LATER.includes(label)),
        compare: comparisonOfAnswer(answer),
        later: some.filter(([label]) => COMES_LATER.includes(label)), parts,
        next: "", likely: "open" };
}

function leadOfYes(whose, isPaper, standing) {
    if (isDoubted(standing)) {
        return [`Signed by ${whose}, and not a letter changed.`, "But the shop says " +
            "more of it since: read its status before you rely on it."];
    }
    return isPaper
        ? [`Signed by ${whose}, and not a letter changed.`,
            "Now look: is this the instrument? Compare it and its paper with this."]
        : [`This entry stands in the log of ${whose}, signed as it should be.`, ""];
}

function wordsOfNo(answer) {
    const lead = answer.kind === "keys"
        ? ["Do not rely on this keys file.",
            "It is damaged, altered or not signed by its roots."]
        : ["Do not rely on this.", "It is damaged, altered or not rightly signed."];
    const rows = [["says", claimWords(answer)], ["claims", signerWords(answer)],
        ["fault", answer.reasons.map(ourWords)]];
    return { lead, rows: rows.filter(hasWords), parts: [], next: "", likely: "open" };
}

function wordsOfNeither(answer, about) {
    const rows = [["says", saysWords(answer)], ["signed", signerWords(answer)],
        ["checked by", keysWords(answer, about.today)],
        // Where nothing is signed, the lead and what to do next say it all.
        ["why", answer.kind === "nothing" ? [] : reasonWords(answer)]];
    const leads = {
        nothing: ["There is nothing signed in this,", "so nobody can tell."],
        unread: ["This was not read,", "so nobody can tell."],
        square: ["This square is no owner’s card,", "so nobody can tell."],
    };
    const next = nextAfter(answer, about);
    return {
        lead: leads[answer.kind] ||
            ["Nobody can tell from this alone", "whether the shop signed it."],
        rows: rows.filter(hasWords), parts: [], next: WHAT_NEXT[next],
        likely: ["newer", "none", "otherKeys"].includes(next) ? "add" : "open",
    };
}

function saysWords(answer) {
    return answer.kind === "square" ? [wordOf(answer.square, "data")]
        : claimWords(answer);
}

// Gives by name what somebody can do who has no answer.
function nextAfter({ kind, key, keys, checkpoint }, about) {
    if (["nothing", "unread", "square"].includes(kind)) {
        return kind;
    }
    if (!about.canCheck) {
        return "browser";
    }
    if (kind === "proof" && key === null) {
        return "record";
    }
    if (keys !== null && checkpoint !== null &&
        !keys.names.includes(checkpoint.origin)) {
        return about.isStrange ? "otherKeys" : "other";
    }
    return about.hasKeys ? "newer" : "none";
}

