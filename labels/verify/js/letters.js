// What a reader cannot see in a hostile text: letters of two alphabets in one name,
// letters in disguise, signs without ink. The text is shown as it is, and this beside.

import { say, sayTrade } from "./words.js";

const LONGEST_SHOWN = 300;
const ALPHABETS = Object.freeze([
    ["Latin", /\p{Script=Latin}/u],
    ["East Asian", /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}]/u],
    ["East Asian", /[\p{Script=Hangul}\p{Script=Bopomofo}]/u],
    ["Cyrillic", /\p{Script=Cyrillic}/u],
    ["Greek", /\p{Script=Greek}/u],
    ["Armenian", /\p{Script=Armenian}/u],
    ["Cherokee", /\p{Script=Cherokee}/u],
    ["Coptic", /\p{Script=Coptic}/u],
    ["Hebrew", /\p{Script=Hebrew}/u],
    ["Arabic", /\p{Script=Arabic}/u],
]);
const LETTER = /(?=\p{L})[^\p{Script=Common}\p{Script=Inherited}]/u;
// The empty Braille cell has neither ink nor a property that says so.
const UNSEEN = /[\p{Cf}\p{Co}\p{Cn}\p{Cs}\p{Zl}\p{Zp}\p{DI}\u2800]/u;
const ODD_SPACE = /[^\P{Zs} \u3000]/u;
const PILED = /\p{M}{4}/u;

// Gives a text as it can be shown on one line: its lines joined, its end cut off, of a
// row of words at a comma.
export function shownText(text) {
    const signs = Array.from(text.replaceAll("\n", " ⏎ "));
    if (signs.length <= LONGEST_SHOWN) {
        return signs.join("");
    }
    const shown = signs.slice(0, LONGEST_SHOWN).join("");
    const end = shown.lastIndexOf(", ") + 2;
    const some = end > shown.length / 2 ? shown.slice(0, end) : shown;
    return some + say(`… (${signs.length} characters)`);
}

// Gives words as they are shown: the page’s own and the trade’s in the language that
// was chosen, and any other as they are.
export function wordsShown({ said, isOurs, isTrade }) {
    return isOurs ? shownText(say(said)) : isTrade ? shownText(sayTrade(said)) : said;
}

// Gives a sentence for each thing about a text's letters that the eye would miss.
// Latin beside East Asian letters is how such names are written, and is no remark.
// Source: Unicode Technical Standard 39, section 5.2, highly restrictive level.
export function letterRemarks(text) {
    const remarks = [];
    const found = alphabetsOf(text);
    const foreign = found.filter((name) => name !== "Latin" && name !== "East Asian");
    if (foreign.length && found.length > 1) {
        remarks.push(`letters of two alphabets: ${found.join(" and ")}`);
    } else if (foreign.length) {
        remarks.push(`${foreign[0]} letters`);
    }
    if (isDisguised(text)) {
        remarks.push("letters or digits in an unusual form");
    }
    if (UNSEEN.test(text)) {
        remarks.push("signs that cannot be seen");
    }
    if (ODD_SPACE.test(text)) {
        remarks.push("spaces of an unusual kind");
    }
    if (PILED.test(text.normalize("NFD"))) {
        remarks.push("marks piled upon letters");
    }
    return remarks;
}

function alphabetsOf(text) {
    const found = new Set();
    for (const sign of text) {
        if (LETTER.test(sign)) {
            const known = ALPHABETS.find(([, letters]) => letters.test(sign));
            found.add(known ? known[0] : "another alphabet's");
        }
    }
    return Array.from(found).sort();
}

// Script letters and wide digits turn into plain ones under NFKC; digits of another
// writing do not, and are told by their kind.
function isDisguised(text) {
    const plain = (sign) => /[0-9A-Za-z]/.test(sign.normalize("NFKC"));
    const isOdd = (sign) =>
        (/[\p{L}\p{N}]/u.test(sign) && sign.charCodeAt(0) > 0xff && plain(sign) &&
            sign.normalize("NFKC") !== sign.normalize("NFC")) ||
        (/\p{Nd}/u.test(sign) && !/[0-9]/.test(sign));
    return Array.from(text).some(isOdd);
}
