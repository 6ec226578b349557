// The answer on the screen. Whatever a paper says goes in as text, each piece in a
// <bdi> of its own, so that no name can turn into markup or turn its neighbours round.

const ONE_A_LINE = Object.freeze(["woods", "made by", "fault", "why"]);

// Draws an answer: the plate, the lead, the rows, what to do next and what it is not.
export function showWords(words, maker) {
    const plate = document.getElementById("word");
    plate.textContent = words.word || "Is this what the shop signed?";
    plate.dataset.word = words.word;
    const told = document.getElementById("told");
    told.replaceChildren(leadOf(words.lead), rowsOf(words.rows));
    if (words.parts.length) {
        told.append(newElement("h2", "Every part"), listOf(words.parts));
    }
    if (words.next) {
        told.append(newElement("p", words.next, "next"));
    }
    document.getElementById("limits").textContent = words.limits;
    document.title = [words.word || "Check a certificate", maker].join(" – ");
    document.getElementById("said").textContent =
        words.word ? `${words.word}. ${words.lead.join(" ")}` : "";
    showLikely(words);
}

// Draws that a file is being read; an answer to another file is gone from now on.
export function showReading(maker) {
    const plate = document.getElementById("word");
    plate.textContent = "READING";
    plate.dataset.word = "READING";
    document.getElementById("told").replaceChildren();
    document.getElementById("limits").textContent = "";
    document.title = `Reading – ${maker}`;
    document.getElementById("said").textContent = "Reading.";
    showNote([]);
}

// Draws a remark about what was opened; none is drawn for no words.
export function showNote(values) {
    const note = document.getElementById("note");
    fillElement(note, values);
    note.hidden = !values.length;
}

// Draws which keys the page holds, at its foot.
export function showKeys(values) {
    fillElement(document.getElementById("keys"), values);
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
    const lead = newElement("p", then ? `${first} ` : first);
    if (then) {
        lead.append(newElement("strong", then));
    }
    return lead;
}

function rowsOf(rows) {
    const list = newElement("dl", "");
    for (const [label, values] of rows) {
        list.append(newElement("dt", label));
        const isAlone = ONE_A_LINE.includes(label);
        const groups = isAlone ? values.map((one) => [one].flat()) : [values];
        list.append(...groups.map((group) => filledElement("dd", group)));
    }
    return list;
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
    for (const { said, form, before, after } of values) {
        const text = document.createElement("bdi");
        text.textContent = said;
        text.className = form;
        element.append(before, text, after);
    }
    for (const remark of new Set(values.flatMap((one) => one.remarks))) {
        element.append(newElement("span", remark, "remark"));
    }
}

function newElement(name, text, form = "") {
    const element = document.createElement(name);
    element.textContent = text;
    if (form) {
        element.className = form;
    }
    return element;
}
