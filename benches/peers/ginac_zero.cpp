// Zero testing by GiNaC's (a - b).normal(), for comparison.
//
// Build: g++ -O2 -std=c++17 benches/peers/ginac_zero.cpp -o target/ginac_zero -lginac -lcln
//        (Debian: libginac-dev)
// Run:   target/ginac_zero benches/peers/pairs.tsv
//
// Each line is: expression TAB expression TAB right|wrong. All symbols are
// positive (`possymbol`). A zero is a decision "equal". Anything else decides
// nothing by itself: normal() knows no laws of roots, logarithms or angles.
#include <algorithm>
#include <chrono>
#include <fstream>
#include <ginac/ginac.h>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

using clock_type = std::chrono::steady_clock;

static GiNaC::symtab symbols_of(const std::string &line) {
    static const std::vector<std::string> functions = {"sqrt", "exp", "log", "sin", "cos",
                                                       "tan",  "asin", "acos", "atan"};
    GiNaC::symtab table;
    table["pi"] = GiNaC::Pi;
    std::string word;
    for (size_t at = 0; at <= line.size(); ++at) {
        const char letter = at < line.size() ? line[at] : ' ';
        if (std::isalpha(letter) || letter == '_' || (!word.empty() && std::isdigit(letter))) {
            word += letter;
            continue;
        }
        if (!word.empty() && table.find(word) == table.end() &&
            std::find(functions.begin(), functions.end(), word) == functions.end())
            table[word] = GiNaC::possymbol(word);
        word.clear();
    }
    return table;
}

static double at_share(std::vector<double> times, double share) {
    std::sort(times.begin(), times.end());
    return times.empty() ? 0 : times[std::min(times.size() - 1, size_t(share * times.size()))];
}

int main(int count, char **arguments) {
    if (count < 2) {
        std::cerr << "usage: ginac_zero pairs.tsv\n";
        return 2;
    }
    std::ifstream file(arguments[1]);
    std::vector<double> reading, deciding;
    int pairs = 0, zero_right = 0, zero_wrong = 0, right = 0, wrong = 0, errors = 0;
    for (std::string line; std::getline(file, line);) {
        std::istringstream cells(line);
        std::string first, second, label;
        std::getline(cells, first, '\t');
        std::getline(cells, second, '\t');
        std::getline(cells, label, '\t');
        ++pairs;
        (label == "right" ? right : wrong)++;
        // Seven times: the first run fills the memory pools; the least counts.
        double best_reading = 1e9, best_deciding = 1e9;
        bool zero = false;
        try {
            for (int round = 0; round < 7; ++round) {
                GiNaC::symtab table = symbols_of(first + " " + second);
                GiNaC::parser reader(table);
                const auto start = clock_type::now();
                const GiNaC::ex a = reader(first), b = reader(second);
                const auto read = clock_type::now();
                zero = (a - b).normal().is_zero();
                const auto done = clock_type::now();
                best_reading = std::min(best_reading, std::chrono::duration<double, std::micro>(read - start).count());
                best_deciding = std::min(best_deciding, std::chrono::duration<double, std::micro>(done - read).count());
            }
        } catch (const std::exception &error) {
            std::cerr << "line " << pairs << ": " << error.what() << "\n";
            ++errors;
            continue;
        }
        reading.push_back(best_reading);
        deciding.push_back(best_deciding);
        if (zero)
            (label == "right" ? zero_right : zero_wrong)++;
        if (count > 2)
            std::cout << pairs << "\t" << label << "\t" << zero << "\t" << best_reading << "\t" << best_deciding << "\n";
    }
    std::vector<double> both;
    for (size_t at = 0; at < reading.size(); ++at)
        both.push_back(reading[at] + deciding[at]);
    std::cout << pairs << " pairs, " << errors << " not read\n"
              << "equal: zero found for " << zero_right << " of " << right << "\n"
              << "not equal: zero found for " << zero_wrong << " of " << wrong << "\n";
    for (const auto &[name, times] : {std::pair{"reading", reading}, {"normal", deciding}, {"both", both}})
        std::cout << name << ": median " << at_share(times, 0.5) << " us, 99th percentile "
                  << at_share(times, 0.99) << " us\n";
}
