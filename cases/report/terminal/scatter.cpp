#include "cases/report/terminal/scatter.hpp"

#include "cases/report/words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace plenair {

namespace {

constexpr int plot_columns = 60, rows = 12;
constexpr std::size_t letters = 26;
/// The horizontal axis spans a tenth of its numbers at least: losses are not known better.
constexpr double least_x_share = 0.1;

struct Axis {
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
    void hold(double value) {
        low = std::min(low, value);
        high = std::max(high, value);
    }
    /// At least so long, about its middle, but not below zero.
    void widen(double least) {
        if (high - low >= least) return;
        const double middle = 0.5 * (low + high);
        low = std::max(middle - 0.5 * least, std::min(low, 0.0));
        high = low + least;
    }
    /// Cell 0 .. count - 1 of a value.
    [[nodiscard]] std::size_t cell(double value, int count) const {
        const double part = high > low ? (value - low) / (high - low) : 0.5;
        return static_cast<std::size_t>(std::lround(part * (count - 1)));
    }
};

char letter_of(std::size_t index) {
    return static_cast<char>('a' + index % letters);
}

}  // namespace

std::string scatter_text(const std::vector<ScatterPoint>& points,
                         const std::string& x_title,
                         const std::string& y_title,
                         double least_y) {
    Axis x, y;
    std::vector<ScatterPoint> shown;
    for (const auto& point : points) {
        if (std::isfinite(point.x) && std::isfinite(point.y)) shown.push_back(point);
    }
    if (shown.size() < 2) return "";
    for (const auto& point : shown) {
        x.hold(point.x);
        y.hold(point.y);
    }
    if (y.high - y.low <= 0.5 * least_y) {
        const double middle = 0.5 * (y.low + y.high);
        for (auto& point : shown) point.y = middle;
    }
    y.widen(least_y);
    x.widen(least_x_share * std::max(std::abs(x.low), std::abs(x.high)));
    std::vector<std::string> grid(rows, std::string(plot_columns, ' '));
    for (std::size_t i = 0; i < shown.size(); ++i) {
        char& cell = grid[rows - 1 - y.cell(shown[i].y, rows)][x.cell(shown[i].x, plot_columns)];
        cell = cell == ' ' ? letter_of(i) : '+';
    }
    std::string text = y_title + "\n";
    for (int row = 0; row < rows; ++row) {
        const std::string scale = row == 0          ? fixed(y.high, 1)
                                  : row == rows - 1 ? fixed(y.low, 1)
                                                    : "";
        auto line = fmt::format("  {:>6} |{}", scale, grid[static_cast<std::size_t>(row)]);
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    text += fmt::format("  {:>6} +{:-<{}}\n", "", "", plot_columns);
    const std::string low = fixed(x.low, 1), high = fixed(x.high, 1);
    text += fmt::format("  {:>6}  {}{:>{}}  {}\n",
                        "",
                        low,
                        high,
                        plot_columns - static_cast<int>(low.size()),
                        x_title);
    std::string line = "         ";
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const auto entry = fmt::format(" {} {}", letter_of(i), shown[i].name);
        if (line.size() + entry.size() > 90) {
            text += line + "\n";
            line = "         ";
        }
        line += entry;
    }
    return text + line + "\n";
}

}  // namespace plenair
