// Turns: what comes of a file, a text or an address, from its reading to the answer.

import { unreadAnswer } from "./answer.js";
import { aboutBench, addKeys, bench } from "./bench.js";
import { check } from "./check.js";
import { addList, judgeListAgain, standingOf } from "./lists.js";
import { readOpened, readTyped } from "./open.js";
import { bearsSignature } from "./pdf.js";
import { readPicture } from "./picture.js";
import { strangeHostWords } from "./place.js";
import { quotedOf, sayingOf } from "./rows.js";
import { heardOf, showNote, showReading, showWords } from "./show.js";
import { isStatusList } from "./status.js";
import { wordsAtFirst, wordsFor } from "./tell.js";

const MOST_FILES = 10;

// Ends a turn: shows the answer, or that there is none, and what else is to be said.
function endTurn(answer, note) {
    bench.isReading = false;
    const isTrue = answer !== null && answer.word === "YES";
    bench.photographs = (isTrue && answer.facts?.photographs) || [];
    const words = answer === null ? wordsAtFirst(aboutBench())
        : wordsFor(answer, aboutBench());
    showWords(words, bench.maker);
    tellNote(note);
    document.getElementById(answer === null && note.length ? "note" : "word").focus();
}

// Shows a remark, and lets it be heard.
export function tellNote(note) {
    showNote(note);
    document.getElementById("said").append(note.map(heardOf).join(""));
}

// Begins a turn, and shows that it has begun: what was open before is forgotten. Gives
// what that was, and a test of whether the turn still counts.
async function beginTurn() {
    bench.turn += 1;
    const turn = bench.turn;
    const before = { data: bench.data, isCut: bench.isReading };
    bench.data = null;
    bench.isReading = true;
    showReading(bench.maker);
    await new Promise((shown) => { setTimeout(shown, 20); });
    return { before, counts: () => turn === bench.turn };
}

// Judges what was read, against the keys and the status list on the bench.
async function judgeRead(read) {
    if (read.answer) {
        return read.answer;
    }
    const answer = await check(read.data, bench.keys && bench.keys.data);
    return { ...answer, standing: standingOf(answer) };
}

// Takes what was opened, dropped, pasted or typed: keys files and status lists go to
// the bench, and one paper is judged. Each is read only when its time comes, and no two
// are kept.
async function takeAll(readings) {
    const { before, counts } = await beginTurn();
    const got = { papers: 0, paper: null, bad: null, hasKeys: false, lists: [],
        note: [] };
    for (const reading of readings) {
        const read = counts() && (await reading());
        if (counts() && read.data && isStatusList(read.data)) {
            got.lists.push(read.data);
            continue;
        }
        const answer = counts() && (await judgeRead(read));
        if (!counts()) {
            return;
        }
        sortRead(got, read, answer);
    }
    const told = await takeLists(got);
    const answer = await answerAfter(got, before);
    const note = inLine(got.note, told, noteAfter(got, before, answer), addressNote(),
        await ownSignature());
    if (counts()) {
        endTurn(answer, note);
    }
}

// A keys file that came may vouch for a list that is here, or for one no longer.
async function takeLists({ hasKeys, lists }) {
    if (hasKeys) {
        await judgeListAgain();
    }
    const told = [];
    for (const data of lists) {
        told.push(await addList(data, false));
    }
    return inLine(...told);
}

// Gives a remark where a card's text names another address than the shop's own.
function addressNote() {
    return bench.data === null ? [] : strangeHostWords(bench.data, bench.host);
}

// Gives a remark where what is open is a PDF with a signature of its own.
async function ownSignature() {
    if (bench.data === null || !(await bearsSignature(bench.data))) {
        return [];
    }
    return [sayingOf("The PDF bears a signature of its own, which is not judged " +
        "here: a PDF viewer judges it.")];
}

function sortRead(got, read, answer) {
    if (answer.kind !== "keys") {
        got.papers += 1;
        got.paper = got.papers === 1 ? { data: read.data || null, answer } : null;
    } else if (answer.keys === null) {
        got.bad = answer;
    } else {
        got.note.push(...addKeys(read.data, answer.keys));
        got.hasKeys = true;
    }
}

// Gives the answer to the one paper, or to a keys file that does not hold, or again to
// what was open before keys came; and null where there is nothing to answer.
async function answerAfter({ papers, paper, bad, hasKeys, lists }, before) {
    if (papers === 1) {
        bench.data = paper.data;
        const isNew = hasKeys || lists.length > 0;
        return isNew && paper.data ? judgeRead({ data: paper.data }) : paper.answer;
    }
    if (papers > 1 || bad !== null) {
        return papers > 1 ? null : bad;
    }
    bench.data = before.data;
    return before.data && judgeRead({ data: before.data });
}

function noteAfter({ papers, bad }, before, answer) {
    if (papers > 1) {
        return [sayingOf(`${papers} files at once: open one certificate at a time`)];
    }
    if (bad !== null && bad !== answer) {
        return [quotedOf(bad.reasons[0], "That keys file does not hold: ", ".")];
    }
    const isLost = papers === 0 && answer === null && before.isCut;
    return isLost ? [sayingOf("What was opened before was not read to its end: open " +
        "it again.")] : [];
}

// Gives several remarks as one, a space between them.
function inLine(...remarks) {
    const some = remarks.filter((words) => words.length);
    return some.flatMap((words, n) => (n ? [quotedOf("", " "), ...words] : words));
}

// Takes files of any kind, though not a heap of them.
export async function takeFiles(files) {
    if (files.length <= MOST_FILES) {
        await takeAll(files.map((file) => () => readFile(file)));
        return;
    }
    const { counts } = await beginTurn();
    if (counts()) {
        const told = `${files.length} files at once are not read`;
        endTurn(null, [sayingOf(`${told}: open one certificate at a time`)]);
    }
}

async function readFile(file) {
    const read = await readOpened(file);
    return read.data ? readPicture(read.data) : read;
}

// Takes a text or an address, as if it were a file.
export async function takeRead(read) {
    if (read !== null) {
        await takeAll([async () => read]);
    }
}

// Takes what stands in the field; where nothing does, there is nothing to judge.
export async function takeTyped(text) {
    if (text.trim() === "") {
        document.getElementById("said").textContent = "";
        tellNote([sayingOf("Nothing is typed yet: type or paste the text of a card.")]);
        return;
    }
    await takeRead(readTyped(text));
}

// Whatever fails where nothing should: no YES may stay on the screen.
export function giveUp(problem) {
    bench.turn += 1;
    bench.data = null;
    endTurn(unreadAnswer(`this page failed while it read: ${problem}`), []);
}
