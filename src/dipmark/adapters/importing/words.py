"""The words people use for the columns of their tables, for trucks, for services and for how serious a fault is.

English, Spanish and German, as spoken in yards; common practice, no source. Accents, case and punctuation do not
matter. What is not known stays unknown: nothing here guesses.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final, Literal, get_args

Field = Literal[
    "truck", "kind", "date", "time", "commissioned", "hours", "service", "by", "note", "fault", "seriousness", "mended",
    "serial", "place", "fuel", "tyres", "capacity", "built", "meter", "digits", "start_hours", "name",
]  # fmt: skip
"""What a column can hold; the code's word, which `--column 'Header=field'` takes."""

FIELDS: Final[tuple[Field, ...]] = get_args(Field)

Kind = Literal[
    "electric-counterbalanced", "reach", "order-picker", "pallet", "engine-cushion", "engine-pneumatic-petrol",
    "engine-pneumatic-lpg", "engine-pneumatic-diesel", "tow-tractor", "rough-terrain", "telescopic",
]  # fmt: skip
"""The kinds of truck the rules speak of."""

KINDS: Final[tuple[Kind, ...]] = get_args(Kind)

Serious = Literal["now", "stop", "repair-by", "watch"]

_HEADERS: Final[dict[Field, str]] = {
    "kind": "kind, kind of truck, type, type of truck, truck type, truck kind, forklift type, class, truck class, "
    "vehicle type, machine type; tipo, tipo de carretilla, tipo de máquina, clase, tipo de equipo, "
    "tipo de montacargas; Typ, Art, Bauart, Staplertyp, Staplerart, Fahrzeugart, Fahrzeugtyp, Gerätetyp, Geräteart",
    "truck": "registration, registration no, reg, reg no, plate no, tag no; matrícula, placa, número económico, "
    "número interno; Kennzeichen, Inv.-Nr., Inv. Nr., interne Nummer",
    "date": "date, read date, "
    "reading date, date of reading, date read, read on, service date, date of service, serviced on, "
    "date done, done on, work date, fault date, date of fault, date reported, reported on, date and time, date/time, "
    "when; fecha, fecha de lectura, fecha lectura, fecha de servicio, fecha servicio, fecha de mantenimiento, "
    "fecha de revisión, fecha de avería, fecha avería, fecha y hora, realizado el; Datum, Ablesedatum, Ablesung am, "
    "abgelesen am, Wartungsdatum, Servicedatum, Prüfdatum, Datum der Wartung, Datum der Ablesung, durchgeführt am, "
    "erledigt am, gemeldet am, Meldedatum, Datum/Uhrzeit, Datum Uhrzeit",
    "time": "time, time of day, clock; hora, hora de lectura; Uhrzeit, Zeit",
    "commissioned": "commissioned, commissioned on, date commissioned, commissioning date, date of commissioning, "
    "in use since, date in use, start date, "
    "in service since, in-service date, put into service, put in service, first used, enrolled, enrolled on; "
    "en uso desde, "
    "puesta en marcha, fecha de puesta en marcha, puesta en servicio, fecha de puesta en servicio, en servicio desde, "
    "fecha de alta, alta; Inbetriebnahme, Inbetriebnahmedatum, Datum der Inbetriebnahme, Erstinbetriebnahme, "
    "Indienststellung, in Betrieb seit, im Einsatz seit",
    "hours": "hours, hour, hrs, h, hour meter, hours meter, hour meter reading, hour reading, hours reading, meter, "
    "meter hrs, "
    "meter reading, meter hours, reading, hours run, run hours, running hours, operating hours, engine hours, "
    "working hours, truck hours, current hours, hours now, service hours, hours at service, hours shown; "
    "horas, hrs., horómetro, lectura, lectura del horómetro, lectura de horas, lectura horómetro, horas de trabajo, "
    "horas de funcionamiento, horas de servicio, horas de motor, horas motor, horas actuales, contador, "
    "contador de horas, cuentahoras; Stunden, Std, Bh, Bstd, Betr.-Std., Betriebsstunden, Betriebsstd, "
    "Betriebsstundenzähler, Betriebsstundenstand, Stundenzähler, Stundenstand, Zählerstand, Zähler, Motorstunden",
    "service": "service, service done, service type, type of service, kind of service, service interval, interval, "
    "maintenance, maintenance done, service carried out; servicio, tipo de servicio, mantenimiento, "
    "tipo de mantenimiento, revisión, tipo de revisión, intervalo; Wartung, Wartungsart, Art der Wartung, "
    "Wartungsintervall, Intervall, Serviceart, Inspektion, Wartungsstufe",
    "by": "by, done by, made by, serviced by, carried out by, read by, reported by, person, who, mechanic, technician, "
    "fitter, driver, operator, initials; por, hecho por, realizado por, leído por, mecánico, técnico, operario, "
    "operador, conductor, responsable; von, durch, durchgeführt von, erledigt von, abgelesen von, gemeldet von, "
    "Mechaniker, Monteur, Techniker, Schlosser, Fahrer, Bearbeiter, Kürzel",
    "note": "note, notes, remark, remarks, comment, comments; nota, notas, observación, observaciones, comentario, "
    "comentarios; Bemerkung, Bemerkungen, Notiz, Notizen, Anmerkung, Anmerkungen, Kommentar, Hinweis",
    "fault": "fault, faults, defect, defects, fault found, defect found, what is wrong, problem, trouble; avería, "
    "averías, fallo, falla, defecto, problema; Fehler, Mangel, Mängel, Defekt, Störung, Schaden, Befund",
    "seriousness": "seriousness, how serious, severity, how bad; gravedad, severidad; Schwere, Schweregrad, "
    "Dringlichkeit",
    "mended": "mended, mended on, repaired, repaired on, fixed, fixed on, date mended, date repaired, repair date, "
    "date fixed; reparado, reparado el, fecha de reparación, fecha reparación, arreglado; behoben, behoben am, "
    "repariert, repariert am, Reparaturdatum",
    "serial": "serial, serial no, serial nr, serial number, chassis no, chassis number; serie, nº de serie, "
    "número de serie, n.º serie, num serie, bastidor; Seriennummer, Serien-Nr., Serial-Nr., Fabriknummer, Fabrik-Nr., "
    "Fahrgestellnummer",
    "place": "place, location, site, bay, yard, hall; lugar, ubicación, sitio, nave, emplazamiento; Ort, Standort, "
    "Einsatzort, Halle, Platz",
    "fuel": "fuel, fuel type, drive, power; combustible, tipo de combustible, propulsión, energía; Kraftstoff, "
    "Treibstoff, Antrieb, Antriebsart",
    "tyres": "tyres, tires, tyre, tire, tyre type, tire type; neumáticos, ruedas, llantas, tipo de neumáticos; Reifen, "
    "Bereifung, Reifenart",
    "capacity": "capacity, rated capacity, load capacity, lifting capacity, capacity kg; capacidad, "
    "capacidad de carga, capacidad nominal, carga nominal; Tragfähigkeit, Nenntragfähigkeit, Traglast, Nennlast",
    "built": "built, year, year built, built in, year of manufacture, manufactured; año, año de fabricación, "
    "fabricación, año fabricación; Baujahr, Bj",
    "meter": "kind of meter, meter kind, type of meter, meter type, meter name, which meter; tipo de contador, "
    "tipo de horómetro; Zählerart, Art des Zählers",
    "digits": "digits, meter digits, digits of the meter; dígitos, cifras; Stellen, Zählerstellen",
    "start_hours": "start hours, starting hours, hours at start, hours when commissioned, hours at commissioning, "
    "initial hours; horas iniciales, horas al inicio, horas en la puesta en marcha; Anfangsstand, Anfangsstunden, "
    "Stunden bei Inbetriebnahme, Startstunden",
    "name": "name, label; nombre, denominación; Name, Bezeichnung",
}

_TRUCK_NOUNS: Final = (
    "truck, lift truck, forklift, fork lift, fork truck, forklift truck, unit, fleet, asset, machine, vehicle, "
    "equipment, plant; carretilla, carretilla elevadora, montacargas, máquina, equipo, vehículo, unidad; Stapler, "
    "Gabelstapler, Fahrzeug, Gerät, Geräte, Maschine, Maschinen, Flurförderzeug, FFZ, Wagen, Inventar"
)
_BARE_NOT_TRUCK: Final = {"fleet", "plant", "inventar", "asset"}
_NUMBERED: Final = ("", "no", "nr", "number", "id", "n", "num", "nummer", "code", "key")
_NUMBER_OF: Final = ("n", "no", "num", "numero", "nde", "node", "numde", "numerode", "idde", "codigode", "codigo")


def fold(text: str) -> str:
    """Lower case without accents: Überprüfung → uberprufung, Nº → no."""
    decomposed = unicodedata.normalize("NFKD", text.replace("#", " no "))
    return "".join(c for c in decomposed if not unicodedata.combining(c)).casefold()


def squeeze(text: str) -> str:
    """Folded letters and digits only: Hour-Meter → hourmeter."""
    return "".join(c for c in fold(text) if c.isalnum())


def _spellings(words: str) -> set[str]:
    found = set()
    for word in re.split(r"[,;]", words):
        found.add(squeeze(word))
        spelled = word.casefold().replace("ä", "ae").replace("ö", "oe").replace("ü", "ue")
        found.add(squeeze(spelled))
    return found


def _header_table() -> dict[str, Field]:
    table: dict[str, Field] = {}
    for noun in _spellings(_TRUCK_NOUNS):
        known = {noun + tail for tail in _NUMBERED} | {head + noun for head in _NUMBER_OF}
        for word in known - _BARE_NOT_TRUCK:
            table[word] = "truck"
    for field, words in _HEADERS.items():
        for word in _spellings(words):
            table[word] = field
    return {squeeze(field): field for field in FIELDS} | table


_FIELD_BY_WORD: Final = _header_table()

_HEADER_UNIT = re.compile(r"^(?P<head>.*?)\s*(?:[(\[](?P<unit>[^()\[\]]*)[)\]]|[,/]\s*(?P<bare>h|hrs?|kg|lbs?|t)\.?|"
                          r"\b(?:in|en)\s+(?P<word>h|hrs?|hours|horas|stunden|std|kg|lbs?|t)\.?)\s*$",
                          re.IGNORECASE | re.DOTALL)  # fmt: skip


def split_header(header: str) -> tuple[str, str | None]:
    """The header's words and its unit: "Hours (h)" → ("Hours", "h"); "Date" → ("Date", None)."""
    joined = re.sub(r"-\s*[\r\n]+\s*", "", header)
    found = _HEADER_UNIT.match(joined)
    if not found:
        return joined.strip(), None
    unit = found["unit"] or found["bare"] or found["word"]
    return found["head"].strip(), unit.strip() if unit else None


def field_of(header: str) -> Field | None:
    """What a column of this header holds; None when nobody knows."""
    known = _FIELD_BY_WORD.get(squeeze(header))
    return known or _FIELD_BY_WORD.get(squeeze(split_header(header)[0]))


_STEMS: Final[dict[str, str]] = {
    "not": r"handhubwagen|\bhand\b|\bmanual(es)?\b|\bhandisch|schmalgang|\bturret\b|\bvna\b|very narrow|trilateral|"
    r"reach ?stacker|container|scissor|\bboom lift|excavator|bagger",
    "telescopic": r"tele ?handler|telesc|teleskop|variable reach|\btelehand",
    "rough-terrain": r"rough ?terrain|\brt\b|all ?terrain|gelae?nde|todo ?terreno",
    "tow-tractor": r"\btow(ing)?\b|\btugs?\b|\btuggers?\b|schlepper|zugmaschine|routenzug|arrastre|remolcador|"
    r"\bclass (6|vi)\b|\bclase (6|vi)\b|\bklasse (6|vi)\b",
    "order-picker": r"order ?pick|order ?selector|stock ?pick|kommissionier|recoge ?pedidos|"
    r"(preparador|selector)\w* de pedidos|prepara ?pedidos|\bman ?up\b",
    "reach": r"\breach\b|schubmast|schubstapler|\bretractil(es)?\b|moving mast",
    "pallet": r"\bpallet\b|hubwagen|\bwalkies?\b|transpalet|apilador|deichsel|\bstackers?\b|(centre|center|end) rider|"
    r"\bclass (3|iii)\b|\bclase (3|iii)\b|\bklasse (3|iii)\b",
    "electric": r"electri|elektr|\be ?stapler|\bbattery\b|akku|batterie|bateria|\bclass (1|i)\b|\bclase (1|i)\b|"
    r"\bklasse (1|i)\b|lithium|litio",
    "lpg": r"\blpg\b|\blp ?gas\b|\blp\b|propan|treibgas|flussiggas|fluessiggas|gasstapler|\bglp\b|autogas|"
    r"(carretilla|montacargas|stapler).*\bgas\b|\bgas (stapler|licuado)",
    "petrol": r"petrol\b|gasolin|benzin|otto ?motor",
    "diesel": r"diesel|gasoil|gasoleo",
    "cushion": r"cushion|bandage|bandaje|press ?on|\bclass (4|iv)\b|\bclase (4|iv)\b|\bklasse (4|iv)\b",
    "engine": r"engine|\bic\b|\bice\b|combusti|verbrenn|termic",
}
_PATTERNS: Final = {name: re.compile(pattern) for name, pattern in _STEMS.items()}


def _spaced(text: str) -> str:
    return " ".join(re.findall(r"[a-z0-9]+", fold(text)))


def kind_of(text: str, fuel: str = "", tyres: str = "") -> Kind | None:
    """The kind of truck people mean; the columns for fuel and tyres help where the word alone leaves it open.

    An engine truck is on pneumatic tyres unless cushion tyres are said; plain "gas" is petrol to some and LPG to
    others, so that "gas truck" stays unknown.
    """
    exact = {squeeze(kind): kind for kind in KINDS}.get(squeeze(text))
    if exact or not _spaced(text):
        return exact
    words = _spaced(text)
    seen = {name for name, pattern in _PATTERNS.items() if pattern.search(words)}
    if "not" in seen and "telescopic" not in seen:
        return None
    shapes: tuple[Kind, ...] = ("telescopic", "rough-terrain", "tow-tractor", "order-picker", "reach", "pallet")
    for shape in shapes:
        if shape in seen:
            return shape
    more = f"{words} {_spaced(fuel)} {_spaced(tyres)}"
    seen |= {name for name in ("electric", "lpg", "petrol", "diesel", "cushion") if _PATTERNS[name].search(more)}
    fuels = seen & {"electric", "lpg", "petrol", "diesel"}
    if len(fuels) > 1:
        return None
    if "electric" in fuels:
        return None if "engine" in seen else "electric-counterbalanced"
    if "cushion" in seen:
        return "engine-cushion"
    by_fuel: dict[str, Kind] = {
        "lpg": "engine-pneumatic-lpg", "petrol": "engine-pneumatic-petrol", "diesel": "engine-pneumatic-diesel",
    }  # fmt: skip
    return by_fuel[fuels.pop()] if fuels else None


_HOUR_WORD = r"(?:h|hr|hrs|hour|hours|hourly|std|stunden|stundlich|stunde|stdn|bh|betriebsstunden|hora|horas)"
_SERVICE_WORD = (
    r"(?:service|services|serviced|servicing|pm|maintenance|inspection|interval|every|the|a|at|each|er|type|tipo|"
    r"servicio|mantenimiento|revision|cada|las|los|de|wartung|inspektion|intervall|alle|nach|hourservice|done|check|"
    r"stundenwartung|stundenservice|stundeninspektion|stdwartung|stdservice|hwartung|hservice)"
)
_SERVICE = re.compile(
    rf"^(?:{_SERVICE_WORD}\s+)*(?P<number>[0-9]{{1,5}})\s*(?:{_HOUR_WORD}\b)?\s*(?:{_SERVICE_WORD}\s*)*$"
)


def service_of(text: str) -> str | None:
    """The service by its hours: "150 hr service", "Wartung 150 Std", "150" → "150h"; None when it has none."""
    tight = re.sub(r"(?<=\d)[.,' \u00a0\u202f](?=\d{3}(?!\d))", "", text)
    if re.search(r"\d[^\S]*[.,/+&-]\s*\d", tight):
        return None
    found = _SERVICE.match(" ".join(re.findall(r"[a-z]+|[0-9]+", fold(tight))))
    if not found or not 1 <= int(found["number"]) <= 20_000:
        return None
    return f"{int(found['number'])}h"


_AND = re.compile(r"\s*(?:[+;&/\n]|(?<!\d),|,(?!\d)|\b(?:and|und|y)\b)\s*", re.IGNORECASE)


EXAMINATION: Final = "examination"
"""Stands among services for a legal examination, whatever the law calls it."""

_EXAMINATIONS: Final = _spellings(
    "examination, thorough examination, legal examination, annual examination, yearly examination, examined, LOLER, "
    "LOLER examination, LOLER inspection; examen, examen reglamentario, examen anual, inspección reglamentaria, "
    "inspección legal; UVV, UVV Prüfung, Jahresprüfung, Regelprüfung, wiederkehrende Prüfung, DGUV Prüfung, "
    "DGUV V68 Prüfung"
)


def _done_of(text: str) -> str | None:
    return service_of(text) or (EXAMINATION if squeeze(text) in _EXAMINATIONS else None)


def services_of(text: str) -> tuple[str, ...]:
    """One service, or several joined by a plus, a comma or "and": "150 h + 450 h"; empty where one is not known.

    A legal examination counts as one of them, `EXAMINATION`.
    """
    whole = _done_of(text)
    parts = [whole] if whole else [_done_of(part) for part in _AND.split(text) if part]
    known = tuple(dict.fromkeys(part for part in parts if part))
    return known if all(parts) else ()


_SERIOUS: Final[dict[Serious, str]] = {
    "now": "now, don't start, do not start, switch off, do not start / switch off, don't start / switch off; "
    "no arrancar, apagar; nicht starten, abstellen, sofort abstellen",
    "stop": "stop, out of service, stopped, put out of service, do not use; fuera de servicio, parada, parado, "
    "no usar, inmovilizada; außer Betrieb, gesperrt, stillgelegt, stilllegen, nicht benutzen",
    "repair-by": "repair by, repair, to repair, repair soon, restricted; reparar, por reparar; reparieren, "
    "zu reparieren, reparieren bis, reparar antes de",
    "watch": "watch, observe, keep an eye, monitor; vigilar, observar; beobachten, im Auge behalten",
}
_SERIOUS_BY_WORD: Final = {word: serious for serious, words in _SERIOUS.items() for word in _spellings(words)}


def seriousness_of(text: str) -> Serious | None:
    """How serious a fault is in the people's own words; high, medium, low or a number say nothing certain: None."""
    return _SERIOUS_BY_WORD.get(squeeze(text))


_NOTHING: Final = {"-", "--", "–", "—", "−", "n/a", "k. a.", "k.a.", "s/d", "."}


def says_nothing(text: str) -> bool:
    """An empty cell, or one of the marks people put into an empty cell."""
    return not text.strip() or text.strip().casefold() in _NOTHING
