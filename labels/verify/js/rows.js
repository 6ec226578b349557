// The rows of an answer: a label, and words of { said, form, before, after, remarks },
// where `said` is the paper's and the rest is the page's, which alone is translated;
// `isOurs` where `said` is the page's too; `isTrade` where it may be a word of the
// trade, which the papers have in the language.

import { letterRemarks, shownText } from "./letters.js";

const DAY_IN_MS = 86400000;

// Gives the rows of a certificate: label and words.
export function rowsOfFacts(answer) {
    const facts = answer.facts;
    if (facts === null) {
        return [];
    }
    const run = facts.run && [wordOf(facts.run.name, "",
        `, ${facts.run.number} of ${facts.run.pieces}`)];
    return [
        ["serial", [wordOf(facts.serial, "serial")]],
        ["model", [wordOf(facts.model, "")]],
        ["kind", facts.instrument ? [tradeOf(facts.instrument)] : []],
        ["run", run || []],
        ["mass", [massOf(gramsWord(facts.mass_mg), ", when it left")]],
        ["woods", woodsOf(facts.materials)],
        ["made by", facts.makers.map(makerWords)],
        ["issued", [wordOf(facts.issued_on, "data", ", certificate "),
            wordOf(facts.number, "data")]],
    ];
}

// Gives the rows of a card, which holds less.
export function rowsOfCard(card) {
    const people = card.makers === 1 ? "1 person" : `${card.makers} people`;
    return [
        ["serial", [wordOf(card.serial, "serial")]],
        ["model", [wordOf(card.model, "")]],
        ["mass", [massOf(`${card.mass_g}\u2009g`, ", when it left")]],
        ["woods", card.species.map(woodOnCard)],
        ["made by", [ourWords(`${people}; the certificate names them`)]],
        ["issued", [wordOf(card.issued_on, "data", ", certificate "),
            wordOf(card.number, "data")]],
    ];
}

function woodOnCard([name, mass]) {
    const grams = massOf(`${mass}\u2009g`);
    return [name === "+" ? quotedOf("other woods", "", " ")
        : wordOf(name, "species", " "), grams];
}

function woodsOf(materials) {
    const sums = new Map();
    for (const { species, mass_mg: mass } of materials) {
        sums.set(species, (sums.get(species) || 0) + mass);
    }
    return Array.from(sums, ([name, mass]) =>
        [wordOf(name, "species", " "), massOf(gramsWord(mass))]);
}

function makerWords(maker) {
    const who = maker.name === null
        ? wordOf(maker.badge, "data", ": ", "badge ") : wordOf(maker.name, "", ": ");
    return [who, tradeOf(maker.work)];
}

// Gives a line for each part: its wood, where it grew, who sawed it, its board.
export function partsOf(facts) {
    return (facts ? facts.materials : []).map((part) => {
        const words = [tradeOf(part.part, ": "), wordOf(part.species, "species")];
        if (part.trade_name !== null) {
            words.push(wordOf(part.trade_name, "", "", ", "));
        }
        if (part.harvested_in !== null) {
            words.push(wordOf(part.harvested_in, "", "", ", grown in "));
        }
        if (part.sawyer !== null) {
            words.push(wordOf(part.sawyer, "", "", ", sawn by "));
        }
        words.push(wordOf(part.board, "data", "", ", board "));
        words.push(massOf(gramsWord(part.mass_mg), "", ", "));
        return words;
    });
}

// Gives by which instrument a paper goes, without saying that it is true.
export function claimWords(answer) {
    const said = answer.card || answer.facts;
    return said ? [wordOf(said.serial, "data", ", "), wordOf(said.model, "")] : [];
}

// Gives whose key a paper names.
export function signerWords(answer) {
    return answer.key === null ? [] : [wordOf(answer.key, "data", "", "key ")];
}

// Gives where in the log it stands, and when it was entered.
export function entryWords(answer) {
    if (answer.index === null) {
        return [];
    }
    const words = [wordOf(answer.index, "data", "", "no. ")];
    if (answer.entered !== null) {
        words.push(wordOf(answer.entered.slice(0, 10), "data", "", ", entered "));
    }
    return words;
}

// Gives the name of the log that the keys speak for.
export function logWords({ keys }) {
    return keys === null ? [] : [wordOf(keys.origin, "data")];
}

// Gives why nobody can tell. Names of logs are quoted: a paper may name its own so
// that it reads like words of this page.
export function reasonWords({ reasons, keys, checkpoint }) {
    if (keys === null || checkpoint === null ||
        keys.names.includes(checkpoint.origin)) {
        return reasons.map(ourWords);
    }
    return [[
        wordOf(checkpoint.origin, "data", "", "this is of the log "),
        wordOf(keys.origin, "data", ": a shop of the same name is another shop",
            ", and the keys file is of "),
    ]];
}

// Gives the day of the keys file it was judged by, and its age.
export function keysWords(answer, today) {
    const keys = answer.keys;
    const whose = "the shop’s keys file of ";
    return keys === null ? []
        : [wordOf(keys.date, "data", `, ${ageOf(keys.date, today)}`, whose)];
}

// Gives how old a day is by the clock of this device.
export function ageOf(date, today) {
    const days = Math.round((Date.parse(today) - Date.parse(date)) / DAY_IN_MS);
    return days < 0 ? "later than this device’s clock" :
        days === 0 ? "today" : days === 1 ? "1 day old" : `${days} days old`;
}

// Gives a mass in grams, to the milligram where it is known so.
export function gramsWord(mass) {
    const parts = String(mass % 1000).padStart(3, "0").replace(/0+$/, "");
    return `${Math.floor(mass / 1000)}${parts ? `.${parts}` : ""}\u2009g`;
}

// Gives what a paper says, with what the page says before and after it, and with a
// remark where its letters are not what they seem.
export function wordOf(said, form, after = "", before = "") {
    const text = String(said);
    return { said: shownText(text), form, after, before, remarks: letterRemarks(text) };
}

// Gives a part, a kind or works in a row.
function tradeOf(said, after = "") {
    return { ...wordOf(said, "", after), said: String(said), isTrade: true };
}

// Gives a mass, whose narrow space is the page's own.
function massOf(text, after = "", before = "") {
    return { said: text, form: "mass", after, before, remarks: [] };
}

// Gives a sentence of the page itself.
export function sayingOf(text) {
    return quotedOf(text, " ");
}

// Gives words of the page itself, or of the reader that judged.
export function ourWords(text) {
    return { ...quotedOf(text), form: "data" };
}

// Gives words of the page with others of its own before and after them.
export function quotedOf(text, before = "", after = "") {
    return { said: text, isOurs: true, form: "", after, before, remarks: [] };
}

// Tells whether a row has anything to say.
export function hasWords([, values]) {
    return values.length > 0;
}
