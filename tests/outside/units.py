"""Units and dimensions held against pint.

    units.py REJIG

1. Each unit of the sheets, and each one of the list below, is read by rejig
   and by pint: same dimension, same size in base units.
2. Both sides of each formula of the sheets are worked out by pint, with the
   sheet's units in place of the letters: same dimension.

Needs pint (0.25.3). Status 1 if anything differs.
"""

import json
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pint

REGISTRY = pint.UnitRegistry()
Quantity = REGISTRY.Quantity

# Ways of writing, prefixes, and words that look like another unit.
TEXTS = """
m s^-1|m/s|m s⁻¹|m·s^-1|km/h|cm/ms|N m|kg m^2 s^-2|J/(kg K)|J kg^-1 K^-1|W/(m^2 K)|kW h|kWh|MeV
GeV|keV|meV|eV|u|MeV/c^2|µm|um|nm|pm|fm|mm^2|cm^3|km^2|ms|µs|ns|ps|mg|g|t|kg m^-3|g cm^-3|mbar
bar|kPa|MPa|GPa|hPa|atm|mmHg|kN|MN|mN|kJ|MJ|mJ|kW|MW|GW|mW|kV|mV|MV|mA|µA|nA|kΩ|MΩ|mΩ|pF|nF|µF|mF
mH|µH|mT|µT|mWb|kBq|MBq|GBq|mSv|mGy|mmol|kmol|mol^-1|kHz|MHz|GHz|THz|mrad|rad s^-1|°|min|h|d
l|ml|ha|Å|AU|ly|pc|kpc|Mpc|lm|lx|kat|cd|V m^-1|N/C|N kg^-1|J/kg|C/kg|A m^2|T m^2|V s|Ω m|S m^-1
F m^-1|H m^-1|N A^-2|J s|J K^-1|J mol^-1 K^-1|W m^-2 K^-4|m K|N m^2 kg^-2|Pa s|kg s^-1|D|dm^3|min^-1
""".replace("\n", "|")

# pint's names where they differ from the SI's symbols or mean something else.
NAMES = {
    "Ω": "ohm", "°C": "kelvin", "°": "degree", "u": "unified_atomic_mass_unit", "c": "speed_of_light",
    "h": "hour", "d": "day", "t": "tonne", "l": "liter", "L": "liter", "min": "minute", "ha": "hectare",
    "a": "julian_year", "yr": "julian_year", "Å": "angstrom", "AU": "astronomical_unit", "D": "1/meter",
    "%": "percent", "ly": "light_year", "pc": "parsec", "lx": "lux", "kat": "katal", "bar": "bar",
    "atm": "atm", "mmHg": "mmHg", "Gy": "gray", "Sv": "sievert", "Bq": "becquerel", "g": "gram",
    "Wh": "watt_hour", "dB": "dimensionless", "cd": "candela", "T": "tesla", "1": "dimensionless",
}
PREFIXES = {"k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12, "m": 1e-3, "µ": 1e-6, "μ": 1e-6, "u": 1e-6,
            "n": 1e-9, "p": 1e-12, "f": 1e-15, "c": 1e-2, "d": 1e-1, "h": 1e2}
WHOLE = {"m", "s", "A", "K", "mol", "rad", "sr", "Hz", "N", "Pa", "J", "W", "C", "V", "F", "S", "Wb",
         "H", "lm", "kg", "eV"} | set(NAMES)
PREFIXED = WHOLE - {"kg", "min", "h", "d", "ha", "u", "c", "°", "°C", "AU", "Å", "%", "1", "atm", "mmHg"}


def one(word):
    """A single unit symbol as a pint quantity."""
    if word in WHOLE:
        return Quantity(1.0, NAMES.get(word, word))
    for prefix, factor in PREFIXES.items():
        rest = word[len(prefix):]
        if word.startswith(prefix) and rest in PREFIXED:
            return Quantity(factor, NAMES.get(rest, rest))
    raise ValueError(f"this script does not know {word}")


def by_pint(text):
    """A unit in the sheets' style as a pint quantity in base units."""
    for raised, plain in zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-"):
        text = text.replace(raised, plain)
    text = re.sub(r"([A-Za-zΩµ])(-?\d+)", r"\1^\2", text).replace("·", " ")
    value = Quantity(1.0)
    sign, depth, inner = 1, 0, 1
    for token in re.findall(r"[()/]|[^\s()/]+", text):
        if token == "(":
            depth, inner, sign = 1, sign, 1
        elif token == ")":
            depth, inner = 0, 1
        elif token == "/":
            sign = -1
        else:
            word, _, power = token.partition("^")
            value = value * one(word) ** (sign * inner * int(power or 1))
            sign = 1
    return value.to_base_units()


def by_rejig(text, scale):
    return Quantity(scale) * by_pint(text or "1") if text is not None else None


def formulae(rejig, *arguments):
    done = subprocess.run([rejig, "formulae", "--format", "json", *arguments],
                          capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def sides(formula, values):
    """Both sides of a formula with quantities for the letters."""
    names = {}
    text = formula["explicit"]
    for number, symbol in enumerate(sorted(values, key=len, reverse=True)):
        names[f"_{number}_"] = values[symbol]
        text = re.sub(rf"(?<![\w]){re.escape(symbol)}(?![\w{{])", f"_{number}_", text)
    text = text.replace("^", "**")
    text = re.sub(r"(?<![\w.])(\d+(?:\.\d+)?)(?![\w.])", r"(\1)", text)
    plain = {
        "sqrt": lambda x: x ** 0.5, "pi": math.pi, "e": math.e,
        **{name: (lambda f: lambda x: f(number_of(x)))(getattr(math, name)) for name in ("sin", "cos", "tan", "exp")},
        "ln": lambda x: math.log(abs(number_of(x))), "log10": lambda x: math.log10(abs(number_of(x))),
    }
    left, right = text.split(" = ")
    return [eval(side, {"__builtins__": {}}, {**plain, **names}) for side in (left, right)]


def number_of(value):
    """What a function acts on must be a pure number."""
    return value.to("dimensionless").magnitude if isinstance(value, Quantity) else value


def dimension(value):
    return value.dimensionality if isinstance(value, Quantity) else Quantity(1.0).dimensionality


def main():
    rejig = str(Path(sys.argv[1]).resolve())
    wrong, units, checked, offset = [], 0, 0, 0
    texts = [text for text in TEXTS.split("|") if text.strip()]
    with tempfile.TemporaryDirectory() as folder:
        sheet = Path(folder) / "made.sheet"
        lines = ["topic made"]
        lines += [f"quantity x_{number}: one, {text}" for number, text in enumerate(texts)]
        lines += [f"y_{number} = x_{number}" for number in range(len(texts))]
        sheet.write_text("\n".join(lines) + "\n", encoding="utf-8")
        made = formulae(rejig, "--sheet", str(sheet), "--topic", "made")
    own = {row["symbol"]: row for formula in made for row in formula["quantities"]}
    rows = [(text, own[f"x_{number}"]) for number, text in enumerate(texts)]
    sheets = formulae(rejig)
    seen = set()
    for formula in sheets:
        for row in formula["quantities"]:
            if row["unit"] and row["unit"] not in seen:
                seen.add(row["unit"])
                rows.append((row["unit"], row))
    for text, row in rows:
        units += 1
        if row["unit"] is None:
            wrong.append(f"{text}: not read by rejig")
            continue
        wanted = by_pint(text)
        # pint keeps radians as a name; the SI says that they are a number.
        found = Quantity(row["scale"]) * by_pint(row["base_units"] or "1")
        if wanted.dimensionality != found.dimensionality:
            wrong.append(f"{text}: {found.dimensionality}, pint says {wanted.dimensionality}")
        elif not math.isclose(wanted.magnitude, found.magnitude, rel_tol=2e-7):
            wrong.append(f"{text}: {found.magnitude}, pint says {wanted.magnitude}")
    for formula in sheets:
        if any(row["unit"] == "°C" for row in formula["quantities"]):
            offset += 1
            continue
        values = {row["symbol"]: (0.31 + 0.07 * number) * by_pint(row["unit"] or "1")
                  for number, row in enumerate(formula["quantities"])}
        try:
            left, right = sides(formula, values)
        except (pint.DimensionalityError, ValueError, SyntaxError, NameError, TypeError) as error:
            # A sum of logarithms of quantities, or a value outside a function.
            wrong.append(f"{formula['topic']}/{formula['name']}: {formula['explicit']}: {error}")
            continue
        checked += 1
        # Zero is zero in any unit.
        if 0 not in (left, right) and dimension(left) != dimension(right):
            wrong.append(f"{formula['topic']}/{formula['name']}: {dimension(left)} and {dimension(right)}")
    print(f"{units} units and {checked} of {len(sheets)} formulae agree with pint {pint.__version__} "
          f"({offset} with degrees Celsius left out)"
          if not wrong else "\n".join(wrong))
    sys.exit(1 if wrong else 0)


main()
