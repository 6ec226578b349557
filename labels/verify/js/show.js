// The answer on the screen. Whatever a paper says goes in as text, each piece in a
// <bdi> of its own, so that no name can turn into markup or turn its neighbours round.
// What the page says itself is drawn in the language chosen, and can be drawn again.

import { wordsShown } from "./letters.js";
import { say } from "./words.js";

const ONE_A_LINE = Object.freeze(["woods", "made by", "fault", "why", "status"]);
const STOP = /^(?:\u00a0?[,.:;…)]+)?/;
const NOBODY = "A maker’s certificate";
// What was drawn last, so that another language can be drawn in its place.
const drawn = { plate: () => {}, note: [], keys: [], list: [], whence: {},
    compared: [] };

// Draws all again in the language that is spoken now.
export function showAgain() {
    const { note, keys, list, whence, compared } = drawn;
    drawn.plate();
    showNote(note);
    showKeys(keys);
    showList(list);
    showWhence(whence);
    showCompared(compared);
}

// Draws an answer: the plate, the lead, the rows, what to do next and what it is not.
export function showWords(words, maker) {
    drawn.plate = () => showWords(words, maker);
    const plate = document.getElementById("word");
    plate.textContent = say(words.word || "Is this what the shop signed?");
    plate.dataset.word = words.word;
    plate.dataset.gloss = say(words.word) === words.word ? "" : words.word;
    const told = document.getElementById("told");
    told.replaceChildren(leadOf(words.lead), rowsOf(words.rows));
    if (words.compare) {
        told.append(...comparisonOf(words.compare));
        showCompared([]);
    }
    if (words.later) {
        told.append(rowsOf(words.later));
    }
    if (words.parts.length) {
        told.append(newElement("h2", say("Every part")), listOf(words.parts));
    }
    if (words.next) {
        told.append(newElement("p", say(words.next), "next"));
    }
    document.getElementById("limits").textContent = say(words.limits);
    document.getElementById("band").hidden = !words.compare;
    document.title = [say(words.word || "Check a certificate"),
        maker || say(NOBODY)].join(" – ");
    document.getElementById("said").textContent =
        words.word ? `${say(words.word)}. ${words.lead.map(say).join(" ")}` : "";
    showLikely(words);
}

// Draws that a file is being read; an answer to another file is gone from now on.
export function showReading(maker) {
    drawn.plate = () => showReading(maker);
    const plate = document.getElementById("word");
    plate.textContent = say("READING");
    plate.dataset.word = "READING";
    plate.dataset.gloss = "";
    document.getElementById("told").replaceChildren();
    document.getElementById("limits").textContent = "";
    document.getElementById("band").hidden = true;
    document.title = `${say("Reading")} – ${maker || say(NOBODY)}`;
    document.getElementById("said").textContent = say("Reading.");
    showNote([]);
}

// Draws a remark about what was opened; none is drawn for no words.
export function showNote(values) {
    drawn.note = values;
    showAt("note", values);
}

// Draws which keys the page holds, at its foot.
export function showKeys(values) {
    drawn.keys = values;
    showAt("keys", values);
}

// Draws which status list the page holds, below its keys.
export function showList(values) {
    drawn.list = values;
    showAt("list", values);
}

// Draws where the page was opened from: at the foot, and before all where it warns.
export function showWhence(whence) {
    drawn.whence = whence;
    showAt("whence", whence.words || []);
    const element = document.getElementById("whence");
    element.classList.toggle("warning", !!whence.isWarning);
    document.querySelector(whence.isWarning ? "main" : "footer").prepend(element);
}

// Draws what came of a photograph that was compared.
export function showCompared(values) {
    drawn.compared = values;
    if (document.getElementById("compared")) {
        showAt("compared", values);
    }
}

// Gives words as they are read out.
export function heardOf({ said, before, after, isOurs }) {
    return ` ${say(before)}${isOurs ? say(said) : said}${say(after)}`;
}

function showAt(name, values) {
    const element = document.getElementById(name);
    fillElement(element, values);
    element.hidden = !values.length;
}

// The likely button is the black one, and stands first.
function showLikely({ likely: first }) {
    const names = first === "add" ? ["add", "open"] : ["open", "add"];
    const [likely, other] = names.map((name) => document.getElementById(name));
    likely.classList.add("likely");
    other.classList.remove("likely");
    other.before(likely);
}

function leadOf([first, then]) {
    const lead = newElement("p", then ? `${say(first)} ` : say(first));
    if (then) {
        lead.append(newElement("strong", say(then)));
    }
    return lead;
}

function rowsOf(rows) {
    const list = newElement("dl", "");
    for (const [label, values] of rows) {
        list.append(newElement("dt", say(label)));
        const isAlone = ONE_A_LINE.includes(label);
        const groups = isAlone ? values.map((one) => [one].flat()) : [values];
        list.append(...groups.map((group) => filledElement("dd", group)));
    }
    return list;
}

function comparisonOf({ marks, photographs }) {
    const drawnParts = [newElement("h2", say("Now compare")), listOf(marks)];
    if (photographs.length) {
        const button = newElement("button", say("Compare a photograph"));
        button.type = "button";
        button.id = "comparing";
        const told = newElement("p", "");
        told.id = "compared";
        drawnParts.push(button, told);
    }
    return drawnParts;
}

function listOf(parts) {
    const list = newElement("ul", "");
    list.append(...parts.map((part) => filledElement("li", part)));
    return list;
}

function filledElement(name, values) {
    const element = newElement(name, "");
    fillElement(element, values);
    return element;
}

function fillElement(element, values) {
    element.replaceChildren();
    let lead = values.length ? say(values[0].before) : "";
    values.forEach((word, n) => {
        const { form, after } = word;
        const text = newElement("bdi", wordsShown(word), form);
        const own = say(after);
        const next = n + 1 < values.length ? say(values[n + 1].before) : "";
        const [stop] = STOP.exec(own || next);
        element.append(lead, stop ? withStop(text, stop) : text,
            own && own.slice(stop.length));
        lead = own ? next : next.slice(stop.length);
    });
    for (const remark of new Set(values.flatMap((one) => one.remarks))) {
        element.append(newElement("span", say(remark), "remark"));
    }
}

// A code that goes to the next line takes the comma behind it along.
function withStop(text, stop) {
    const both = newElement("span", "", "joined");
    both.append(text, stop);
    return both;
}

function newElement(name, text, form = "") {
    const element = document.createElement(name);
    return Object.assign(element, { textContent: text }, form && { className: form });
}
