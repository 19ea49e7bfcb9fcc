"""The words of yards in three languages; common practice, no source."""

from __future__ import annotations

import pytest

from dipmark.adapters.importing.words import (
    FIELDS,
    KINDS,
    field_of,
    fold,
    kind_of,
    says_nothing,
    seriousness_of,
    service_of,
    services_of,
    split_header,
)  # fmt: skip

HEADERS = {
    "truck": "Matrícula; Kennzeichen; Inv.-Nr.; Registration no; "
    "Truck; truck no.; Truck #; FORKLIFT; Unit No; Fleet no; Asset ID; Stapler-Nr.; Staplernummer; "
    "Gerätenummer; Geraete-Nr; Nº de carretilla; Carretilla; N° montacargas; Máquina; Equipo; Fahrzeug",
    "kind": "Kind; Type; truck type; Typ; Bauart; Staplertyp; tipo de carretilla; Tipo",
    "date": "Date; Reading date; DATE OF SERVICE; Datum; Ablesedatum; Wartungsdatum; Fecha; Fecha de lectura; "
    "Datum (TT.MM.JJJJ)",
    "time": "Time; Uhrzeit; Hora",
    "commissioned": "Commissioned; In service since; Inbetriebnahme; Puesta en marcha; Fecha de alta",
    "hours": "Hours; Hours (h); hour meter; Hour-Meter; Meter reading; HRS; Hours in h; Betriebsstunden [h]; "
    "Betriebs-\nstunden; Zählerstand; Zaehlerstand; Bh; Std.; Horómetro; Horometro (horas); Lectura; Hours, h",
    "service": "Service; Service done; Wartung; Wartungsart; Mantenimiento; Servicio; Revisión",
    "by": "By; Done by; Mechanic; Monteur; durchgeführt von; Mecánico; Realizado por",
    "note": "Note; Remarks; Bemerkung; Observaciones; Nota",
    "fault": "Fault; Defect; Mängel; Maengel; Störung; Stoerung; Avería; Fallo",
    "seriousness": "Seriousness; Severity; Dringlichkeit; Gravedad",
    "mended": "Mended; Repaired on; behoben am; Reparado; Fecha de reparación",
    "serial": "Serial no.; Serial number; Seriennummer; Serien-Nr.; Nº de serie; Número de serie",
    "place": "Place; Location; Standort; Ubicación",
    "fuel": "Fuel; Antrieb; Kraftstoff; Combustible",
    "tyres": "Tyres; Tires; Bereifung; Neumáticos",
    "capacity": "Capacity; Capacity (kg); Tragfähigkeit (kg); Tragfaehigkeit; Capacidad",
    "built": "Built; Year of manufacture; Baujahr; Año de fabricación; Año",
    "meter": "Kind of meter; Zählerart; Tipo de horómetro",
    "digits": "Digits; Stellen; Dígitos",
    "start_hours": "Start hours; hours when commissioned; start_hours; Anfangsstand; Horas iniciales",
    "name": "Name; Label; Bezeichnung; Nombre",
}


@pytest.mark.parametrize(
    ("header", "field"), [(header.strip(), field) for field, row in HEADERS.items() for header in row.split(";")]
)
def test_header(header: str, field: str) -> None:
    assert field_of(header) == field


def test_every_field_has_headers_and_its_own_word() -> None:
    assert set(HEADERS) == set(FIELDS)
    assert all(field_of(field) == field for field in FIELDS if field != "meter")
    assert field_of("meter") == "hours"  # what people mean by it


@pytest.mark.parametrize(
    "header", ["Day", "Nr", "No.", "#", "Colour", "Farbe", "", "Hours since service", "Fleet", "2026"]
)
def test_header_nobody_knows(header: str) -> None:
    assert field_of(header) is None


@pytest.mark.parametrize(
    ("header", "parts"),
    [
        ("Hours (h)", ("Hours", "h")),
        ("Capacity [kg]", ("Capacity", "kg")),
        ("Hours, hrs.", ("Hours", "hrs")),
        ("Date", ("Date", None)),
        ("Date ()", ("Date", None)),
        ("Date (dd/mm/yyyy)", ("Date", "dd/mm/yyyy")),
    ],
)
def test_unit_of_a_header(header: str, parts: tuple[str, str | None]) -> None:
    assert split_header(header) == parts


KIND_WORDS = {
    "electric-counterbalanced": "electric forklift; E-Stapler; Elektrostapler; Elektro-Gabelstapler; "
    "carretilla eléctrica; battery truck; Class I; electric counterbalance; electric cushion",
    "reach": "reach truck; Reach; Schubmaststapler; carretilla retráctil; Double reach; electric reach",
    "order-picker": "order picker; Orderpicker; stock picker; Kommissionierer; Kommissionierstapler; recogepedidos; "
    "preparadora de pedidos",
    "pallet": "pallet truck; electric pallet jack; walkie stacker; Niederhubwagen; Hochhubwagen; "
    "transpaleta eléctrica; apilador; Class III",
    "engine-cushion": "cushion tire forklift; IC cushion LPG; Class IV; Treibgasstapler Bandagen",
    "engine-pneumatic-petrol": "petrol forklift; gasoline forklift; Benzinstapler; carretilla de gasolina",
    "engine-pneumatic-lpg": "LPG forklift; propane; Treibgasstapler; Gasstapler; Flüssiggas-Stapler; "
    "carretilla a gas; GLP; LP gas; LPG counterbalance",
    "engine-pneumatic-diesel": "diesel forklift; Dieselstapler; carretilla diésel; Class V diesel; DIESEL; "
    "montacargas diesel",
    "tow-tractor": "tow tractor; tugger; Schlepper; Elektroschlepper; tractor de arrastre; Class VI",
    "rough-terrain": "rough terrain forklift; RT forklift; Geländestapler; Gelaendestapler; todoterreno; "
    "carretilla todo terreno",
    "telescopic": "telehandler; Teleskoplader; Teleskopstapler; manipulador telescópico; variable reach",
}


@pytest.mark.parametrize(
    ("text", "kind"), [(text.strip(), kind) for kind, row in KIND_WORDS.items() for text in row.split(";")]
)
def test_kind(text: str, kind: str) -> None:
    assert kind_of(text) == kind


def test_every_kind_has_words_and_its_own_key() -> None:
    assert set(KIND_WORDS) == set(KINDS)
    assert all(kind_of(kind) == kind and kind_of(kind.replace("-", " ").upper()) == kind for kind in KINDS)


@pytest.mark.parametrize(
    "text",
    ["", "--", "forklift", "Stapler", "carretilla", "gas forklift", "Class II", "Class VII", "hand pallet truck",
     "Handhubwagen", "reach stacker", "turret truck", "diesel or LPG", "electric engine", "scissor lift"],
)  # fmt: skip
def test_kind_nobody_can_tell(text: str) -> None:
    assert kind_of(text) is None


@pytest.mark.parametrize(
    ("text", "fuel", "tyres", "kind"),
    [
        ("forklift", "LPG", "", "engine-pneumatic-lpg"),
        ("counterbalance", "LPG", "cushion", "engine-cushion"),
        ("Frontstapler", "Diesel", "Luft", "engine-pneumatic-diesel"),
        ("Stapler", "Gas", "", "engine-pneumatic-lpg"),
        ("carretilla", "eléctrica", "macizas", "electric-counterbalanced"),
        ("forklift", "gas", "", None),
        ("LPG forklift", "diesel", "", None),
        ("reach truck", "electric", "", "reach"),
    ],
)
def test_kind_with_the_columns_beside_it(text: str, fuel: str, tyres: str, kind: str | None) -> None:
    assert kind_of(text, fuel, tyres) == kind


@pytest.mark.parametrize(
    ("text", "service"),
    [(text, "150h") for text in (
        "150h", "150 h", "150 hr service", "150-hour", "150-hour service", "Service 150h", "150 Std", "150 Std.", "150",
        "150 horas", "servicio de 150 horas", "150-Stunden-Wartung", "Wartung 150 h", "150er Wartung",
        "every 150 hours",
        "revisión 150 h", "mantenimiento cada 150 horas", "PM 150", "0150")]
    + [("1,800 h", "1800h"), ("1.800 Std.", "1800h"), ("1 800 h", "1800h"), ("8h", "8h"), ("250", "250h")],
)  # fmt: skip
def test_service(text: str, service: str) -> None:
    assert service_of(text) == service


@pytest.mark.parametrize(
    "text",
    ["", "A", "annual", "150/450 h", "150 + 450", "12 months", "150 km", "1800.5", "0", "99999 h", "150 h oil 4 l"],
)
def test_service_nobody_can_tell(text: str) -> None:
    assert service_of(text) is None


@pytest.mark.parametrize(
    ("text", "serious"),
    [("Don't start", "now"), ("nicht starten", "now"), ("No arrancar", "now"), ("Out of service", "stop"),
     ("außer Betrieb", "stop"), ("ausser Betrieb", "stop"), ("fuera de servicio", "stop"), ("repair-by", "repair-by"),
     ("Repair by", "repair-by"), ("reparar", "repair-by"), ("Watch", "watch"), ("beobachten", "watch"),
     ("vigilar", "watch"),
     ("high", None), ("2", None), ("", None)],
)  # fmt: skip
def test_seriousness(text: str, serious: str | None) -> None:
    assert seriousness_of(text) == serious


@pytest.mark.parametrize(
    ("text", "services"),
    [("150 h", ("150h",)), ("150 h + 450 h", ("150h", "450h")), ("150/450 h", ("150h", "450h")),
     ("150h und 450h", ("150h", "450h")), ("150 h, 150 h", ("150h",)), ("1,800 h", ("1800h",)), ("150 h + oil", ()),
     ("150,450", ()), ("", ())],
)  # fmt: skip
def test_several_services_in_one_cell(text: str, services: tuple[str, ...]) -> None:
    assert services_of(text) == services


def test_folding() -> None:
    assert fold("ÜBERPRÜFUNG Größe Nº") == "uberprufung grosse no"


def test_nothing_said() -> None:
    assert all(map(says_nothing, ["", "  ", "-", " – ", "n/a", "N/A", "k. A.", "s/d"]))
    assert not says_nothing("0")
