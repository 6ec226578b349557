// The language of the page: chosen by its own name, and at first the browser's.

import { LANGUAGES, chooseLanguage, firstLanguage, say, spoken } from "./words.js";

// The page's standing words in English, by the element that bears them.
const frameWords = new Map();
const frameLabels = new Map();

// Lets somebody choose a language; `again` draws once more what is no standing word.
export function offerLanguages(again) {
    const choice = document.getElementById("language");
    for (const [name, own] of Object.entries(LANGUAGES)) {
        const option = new Option(own, name);
        option.lang = name;
        choice.append(option);
    }
    const change = (name) => {
        choice.value = chooseLanguage(name);
        document.documentElement.lang = spoken();
        sayFrame();
        again();
    };
    choice.addEventListener("change", () => change(choice.value));
    change(firstLanguage(navigator.languages || []));
}

function sayFrame() {
    for (const element of document.querySelectorAll("[data-say]")) {
        if (!frameWords.has(element)) {
            frameWords.set(element, element.textContent.trim().replace(/\s+/g, " "));
        }
        element.textContent = say(frameWords.get(element));
    }
    for (const element of document.querySelectorAll("[aria-label]")) {
        if (!frameLabels.has(element)) {
            frameLabels.set(element, element.getAttribute("aria-label"));
        }
        element.setAttribute("aria-label", say(frameLabels.get(element)));
    }
}
