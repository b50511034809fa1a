"""Makes the answers of an invented evening club: 28 seats, 12 questions, slips
at stated rates. Needs nothing but Python."""

import csv
import random
from collections import Counter
from pathlib import Path

HERE = Path(__file__).parent
SEATS = 28
SEED = 20261125
LEFT_OUT = 0.03

# For each question: the right answer in several forms, then slips as
# (rate at a care of 1, the name that the slip should get, the answer).
QUESTIONS = [
    (["a = (v - u)/t", "(v-u)/t", "v - u = at\na = (v - u)/t"],
     [(0.15, "sign-not-changed", "a = (v + u)/t"),
      (0.10, "one-term-divided", "a = v - u/t")]),
    (["a = (v^2 - u^2)/(2s)", "a=(v²-u²)/2s", "v^2 - u^2 = 2as\na = (v^2 - u^2)/(2s)"],
     [(0.35, "sign-not-changed", "a = (v^2 + u^2)/(2s)"),
      (0.08, "coefficient-lost", "a = (v^2 - u^2)/s")]),
    (["u = s/t - at/2", "u = (s - 1/2 a t^2)/t", "s - 1/2 a t^2 = ut\nu = (s - ½at²)/t"],
     [(0.15, "one-term-divided", "u = s - at/2"),
      (0.15, "sign-not-changed", "u = (s + 1/2 a t^2)/t")]),
    (["v = sqrt(2E_k/m)", "v = √(2E/m)", "mv^2 = 2E\nv^2 = 2E/m\nv = sqrt(2E/m)"],
     [(0.20, "root-forgotten", "v = 2E_k/m"),
      (0.10, "coefficient-flipped", "v = sqrt(E_k/(2m))")]),
    (["l = g T^2/(4π^2)", "l = g (T/(2 pi))^2", "T/(2π) = √(l/g)\nT^2/(4π^2) = l/g\nl = gT^2/(4π^2)"],
     [(0.20, "one-factor-powered", "l = g T^2/(2π)"),
      (0.15, "multiplied-for-divided", "l = T^2/(4π^2 g)")]),
    (["k = 4 π^2 m/T^2", "k = m (2π/T)^2", "T^2 = 4π^2 m/k\nk = 4π^2 m/T^2"],
     [(0.20, "fraction-inverted", "k = T^2/(4π^2 m)"),
      (0.15, "one-factor-powered", "k = 2 π m/T^2")]),
    (["R_1 = R R_2/(R_2 - R)", "R1 = 1/(1/R - 1/R2)", "1/R_1 = 1/R - 1/R_2\nR_1 = 1/(1/R - 1/R_2)"],
     [(0.35, "reciprocal-shared-over-sum", "R_1 = R - R_2"),
      (0.10, "sign-not-changed", "R_1 = R R_2/(R_2 + R)")]),
    (["r = (E - V)/I", "(E-V)/I", "Ir = E - V\nr = (E - V)/I"],
     [(0.20, "sign-not-changed", "r = (V - E)/I"),
      (0.10, "one-term-divided", "r = E - V/I")]),
    (["r = sqrt(G M m/F)", "r = √(GMm/F)", "r^2 = GMm/F\nr = sqrt(GMm/F)"],
     [(0.25, "root-forgotten", "r = G M m/F"),
      (0.10, "fraction-inverted", "r = sqrt(F/(GMm))")]),
    (["t = ln(N_0/N)/λ", "t = -ln(N/N0)/λ", "N/N_0 = e^(-λt)\n-λt = ln(N/N_0)\nt = -(1/λ) ln(N/N_0)"],
     [(0.25, "exponent-sign-lost", "t = ln(N/N_0)/λ"),
      (0.15, "log-quotient-wrong", "t = ln N_0/(λ ln N)")]),
    (["λ = v/f", "lambda = v/f", "v/f"],
     [(0.10, "multiplied-for-divided", "λ = v f"),
      (0.05, "fraction-inverted", "λ = f/v")]),
    (["t = (v - u)/a\ns = (u + v)(v - u)/(2a)\nv^2 = u^2 + 2as",
      "v - u = at\nt = (v-u)/a\n2s = (u+v)(v-u)/a\n2as = v^2 - u^2\nv^2 = u^2 + 2as"],
     [(0.20, "does-not-follow", "t = (v + u)/a\ns = (u + v)^2/(2a)"),
      (0.10, "circular", "v^2 = u^2 + 2as\n2as = v^2 - u^2\nv^2 = u^2 + 2as")]),
]


def main() -> None:
    draw = random.Random(SEED)
    drawn = Counter()
    with open(HERE / "club.csv", "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["seat", "question", "answer"])
        for seat in range(1, SEATS + 1):
            care = draw.uniform(0.2, 2.2)
            for number, (right, slips) in enumerate(QUESTIONS, start=1):
                chance = draw.random()
                form = draw.randrange(len(right))
                if chance < LEFT_OUT:
                    table.writerow([seat, number, ""])
                    drawn[number, "left-out"] += 1
                    continue
                chance = (chance - LEFT_OUT) / (1 - LEFT_OUT)
                for rate, name, answer in slips:
                    if chance < rate * care:
                        table.writerow([seat, number, answer])
                        drawn[number, name] += 1
                        break
                    chance -= rate * care
                else:
                    table.writerow([seat, number, right[form]])
                    drawn[number, "right"] += 1
    with open(HERE / "club_drawn.csv", "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["question", "drawn", "count"])
        for (number, name), count in sorted(drawn.items()):
            table.writerow([number, name, count])


if __name__ == "__main__":
    main()
