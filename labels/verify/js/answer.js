// What an answer is: a word, why, and all else empty until it is known.

// The three words that an answer can begin with.
export const YES = "YES";
export const NO = "NO";
export const CANNOT_TELL = "CANNOT TELL";

// Gives an answer of one reason, with whatever else is known.
export function answerOf(word, reason, known = {}) {
    return {
        word, reasons: [reason], kind: "nothing", facts: null, names: {}, index: null,
        entered: null, said: null, checkpoint: null, keys: null, key: null, card: null,
        listed: null,
        ...known,
    };
}

// Gives the answer to what was not read at all, for whatever reason.
export function unreadAnswer(reason) {
    return answerOf(CANNOT_TELL, reason, { kind: "unread" });
}
