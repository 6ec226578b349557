// The page that checks: what happens when somebody opens, drops, pastes or types.

import { aboutBench, bench, takeOwnKeys, tellKeys } from "./bench.js";
import { hasCamera, lookForSquare, stopLooking } from "./camera.js";
import { canCheck } from "./crypt.js";
import { offerLanguages } from "./languages.js";
import { takeOwnList, tellList } from "./lists.js";
import { readFragment } from "./open.js";
import { comparePhotograph } from "./photograph.js";
import { readSquare } from "./picture.js";
import { placeWord, whenceWords } from "./place.js";
import { quotedOf, wordOf } from "./rows.js";
import { showAgain, showWhence, showWords } from "./show.js";
import { wordsAtFirst } from "./tell.js";
import { giveUp, takeFiles, takeRead, takeTyped, tellNote } from "./turns.js";

function onAsking(work) {
    return (event) => { work(event).catch(giveUp); };
}

function listenToButtons() {
    const file = document.getElementById("file");
    for (const name of ["open", "add"]) {
        document.getElementById(name).addEventListener("click", () => file.click());
    }
    onFiles("file", takeFiles);
    onFiles("shot", takeFiles);
    onFiles("photo", ([photograph]) => comparePhotograph(photograph));
    document.getElementById("camera").addEventListener("click", onAsking(useCamera));
    document.getElementById("stop").addEventListener("click", () => {
        stopLooking();
        document.getElementById("camera").focus();
    });
    // It stands in an answer, and comes and goes with it.
    document.getElementById("told").addEventListener("click", ({ target }) => {
        if (target.id === "comparing") {
            document.getElementById("photo").click();
        }
    });
    const typed = document.getElementById("typed");
    typed.addEventListener("submit", onAsking(async (event) => {
        event.preventDefault();
        await takeTyped(document.getElementById("text").value);
    }));
}

function onFiles(name, take) {
    const input = document.getElementById(name);
    input.addEventListener("change", onAsking(async () => {
        const files = Array.from(input.files);
        // The same file may be opened again.
        input.value = "";
        if (files.length) {
            await take(files);
        }
    }));
}

// Where a page may not look through a camera, the device may take a photograph.
async function useCamera() {
    if (!hasCamera()) {
        document.getElementById("shot").click();
        return;
    }
    let found;
    try {
        found = await lookForSquare();
    } catch (problem) {
        tellNote([wordOf(problem.name, "data", "): open a photograph of the card " +
            "instead.", "The camera could not be used (")]);
        return;
    }
    if (found.text !== null) {
        await takeRead(readSquare(found.text));
    } else if (found.isOver) {
        tellNote([quotedOf("No card was seen for a minute: bring it nearer and into " +
            "the light, or open a photograph of it.")]);
    }
}

function listenToTheWholePage() {
    window.addEventListener("dragover", (event) => {
        event.preventDefault();
        document.body.classList.add("over");
    });
    window.addEventListener("dragleave", () => document.body.classList.remove("over"));
    window.addEventListener("drop", onAsking(async (event) => {
        event.preventDefault();
        document.body.classList.remove("over");
        await takeGiven(event.dataTransfer);
    }));
    window.addEventListener("paste", onAsking(async (event) => {
        const isInText = event.target === document.getElementById("text");
        const given = event.clipboardData;
        // A short text goes where the cursor is; all else is judged at once.
        if (!isInText || given.files.length || given.getData("text").length > 4096) {
            event.preventDefault();
            await takeGiven(given);
        }
    }));
    document.addEventListener("visibilitychange", () => {
        if (document.hidden) {
            stopLooking();
        }
    });
    window.addEventListener("pagehide", stopLooking);
    window.addEventListener("hashchange", onAsking(async () => {
        await takeRead(readFragment(location.hash));
    }));
}

async function takeGiven(given) {
    const files = Array.from(given.files);
    const text = given.getData("text");
    if (files.length) {
        await takeFiles(files);
    } else if (text) {
        await takeTyped(text);
    }
}

function tellPlace() {
    const place = document.getElementById("place");
    if (location.protocol !== "file:") {
        place.removeAttribute("data-say");
    }
    place.textContent = placeWord(location);
    showWhence(whenceWords(location, bench.host));
}

async function beginPage() {
    bench.canCheck = await canCheck();
    await takeOwnKeys();
    tellPlace();
    const note = await takeOwnList();
    tellKeys();
    tellList();
    showWords(wordsAtFirst(aboutBench()), bench.maker);
    tellNote(note);
    offerLanguages(showAgain);
    document.getElementById("ways").hidden = false;
    listenToButtons();
    listenToTheWholePage();
    await takeRead(readFragment(location.hash));
}

beginPage().catch(giveUp);
