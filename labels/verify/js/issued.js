// The event in which a certificate is issued: its form, and the facts in it.
// Source: the kind certificate.issued/1.

import { hexBytes } from "./bytes.js";
import { isDay, isMoment } from "./entry.js";
import { isCount, isObject } from "./json.js";

export const ISSUED_KIND = "certificate.issued/1";
const LOT_CODE = /^L[0-9]{2}-[0-9]{3}$/;
const BOARD_CODE =
    /^L[0-9]{2}-[0-9]{3}-(?:[0-9]{2}|[1-9][0-9]{2})(?:\.[AB]|\.C[1-9][0-9]{0,2})?$/;
const UNITS = [
    "length_um", "mass_mg", "frequency_millihertz", "humidity_ppm",
    "temperature_millikelvin", "angle_millidegree", "pitch_ppm", "time_seconds",
];

const isText = (value) => typeof value === "string";
const isWords = (value) => isText(value) && value !== "";
const isAmount = (value) => isCount(value, 0);
const isNumbering = (value) => isCount(value, 1);
const isSubject = (value) => hexBytes(value, 16) !== null;
const isDigest = (value) => hexBytes(value, 32) !== null;
const isFlag = (value) => typeof value === "boolean";
const isLot = (value) => isText(value) && LOT_CODE.test(value);
const isBoard = (value) => isText(value) && BOARD_CODE.test(value);
const isEvidence = (value) => ["invoice", "diary", "witness", "none"].includes(value);
const isListOf = (isItem) => (value) => Array.isArray(value) && value.every(isItem);

// Each form: what must stand in it, and what may.
const RESERVED_FORM = [
    {},
    { happened_at: isMoment, station: isWords, reason_commitment: isDigest },
];
const SAWYER_FORM = [
    { subject: isSubject },
    { name_commitment: isDigest, region: isText },
];
const MATERIAL_FORM = [
    {
        part: isWords, species: isWords, board: isBoard, lot: isLot,
        received_on: isDay, mass_mg: isAmount,
    },
    {
        trade_name: isText, harvested_in: isText, opening: isFlag, evidence: isEvidence,
        sawyer: (value) => fitsForm(value, SAWYER_FORM),
    },
];
const MAKER_FORM = [
    { subject: isSubject, badge: isWords, work: isWords },
    { name_commitment: isDigest },
];
const MEASURE_FORM = [
    { what: isWords },
    Object.fromEntries(UNITS.map((unit) => [unit, Number.isSafeInteger])),
];
const RUN_FORM = [{ name: isWords, number: isNumbering, pieces: isNumbering }, {}];
const ISSUED_FORM = [
    {
        number: isWords, serial: isWords, model: isWords, issued_on: isDay,
        mass_mg: isAmount, status_token_sha256: isDigest, transfer_sha256: isDigest,
        makers: isListOf((value) => fitsForm(value, MAKER_FORM)),
        materials: isListOf((value) => fitsForm(value, MATERIAL_FORM)),
        measures: isListOf(isMeasure), photographs: isListOf(isDigest),
    },
    { instrument: isText, run: (value) => fitsForm(value, RUN_FORM) },
];

// Tells whether an event says, strictly, that a certificate was issued.
export function isIssued(event) {
    if (event.kind !== ISSUED_KIND) return false;
    const { kind: _kind, approvals: _approvals, ...rest } = event;
    const [beside, own] = [{}, {}];
    for (const [name, value] of Object.entries(rest)) {
        (Object.hasOwn(RESERVED_FORM[1], name) ? beside : own)[name] = value;
    }
    return fitsForm(beside, RESERVED_FORM) && fitsForm(own, ISSUED_FORM);
}

// Gives the commitments of names in a certificate, as field, subject and commitment.
export function commitmentsIn(event) {
    const makers = event.makers.map((maker) => ["person.name", maker]);
    const sawyers = event.materials
        .filter(({ sawyer }) => sawyer !== undefined)
        .map(({ sawyer }) => ["supplier.name", sawyer]);
    return [...makers, ...sawyers].map(([field, who]) => [
        field, who.subject, who.name_commitment,
    ]);
}

// Gives the facts of a certificate, with the names that are disclosed.
export function factsOf(event, names) {
    const { serial, number, model, issued_on, mass_mg, instrument, run } = event;
    const named = (who) => (who ? (names[who.subject] ?? null) : null);
    return {
        serial, number, model, issued_on, mass_mg,
        instrument: instrument ?? null,
        run: run ?? null,
        makers: event.makers.map((maker) => ({
            badge: maker.badge, work: maker.work, name: named(maker),
        })),
        materials: event.materials.map((material) => ({
            part: material.part,
            species: material.species,
            trade_name: material.trade_name ?? null,
            board: material.board,
            mass_mg: material.mass_mg,
            harvested_in: material.harvested_in ?? null,
            received_on: material.received_on,
            sawyer: named(material.sawyer),
        })),
        measures: event.measures,
        photographs: event.photographs,
    };
}

function isMeasure(value) {
    if (!fitsForm(value, MEASURE_FORM)) return false;
    return UNITS.filter((unit) => Object.hasOwn(value, unit)).length === 1;
}

function fitsForm(value, [must, may]) {
    if (!isObject(value)) return false;
    const isWhole = Object.keys(must).every((name) => Object.hasOwn(value, name));
    return isWhole && Object.entries(value).every(([name, said]) => {
        if (Object.hasOwn(must, name)) return must[name](said);
        return Object.hasOwn(may, name) && may[name](said);
    });
}
