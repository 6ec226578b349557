// The page that checks: what happens when somebody opens, drops, pastes or types.

import { aboutBench, bench, takeOwnKeys, tellKeys } from "./bench.js";
import { canCheck } from "./crypt.js";
import { readFragment } from "./open.js";
import { showWords } from "./show.js";
import { wordsAtFirst } from "./tell.js";
import { giveUp, takeFiles, takeRead, takeTyped } from "./turns.js";

function onAsking(work) {
    return (event) => { work(event).catch(giveUp); };
}

function listenToButtons() {
    const file = document.getElementById("file");
    for (const name of ["open", "add"]) {
        document.getElementById(name).addEventListener("click", () => file.click());
    }
    file.addEventListener("change", onAsking(async () => {
        const files = Array.from(file.files);
        // The same file may be opened again.
        file.value = "";
        if (files.length) {
            await takeFiles(files);
        }
    }));
    const typed = document.getElementById("typed");
    typed.addEventListener("submit", onAsking(async (event) => {
        event.preventDefault();
        await takeTyped(document.getElementById("text").value);
    }));
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

async function beginPage() {
    bench.canCheck = await canCheck();
    document.getElementById("place").textContent =
        location.protocol === "file:" ? "offline copy" : location.host;
    await takeOwnKeys();
    tellKeys();
    showWords(wordsAtFirst(aboutBench()), bench.maker);
    document.getElementById("ways").hidden = false;
    listenToButtons();
    listenToTheWholePage();
    await takeRead(readFragment(location.hash));
}

beginPage().catch(giveUp);
