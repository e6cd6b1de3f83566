#include "cases/study/band_sum.hpp"

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

std::vector<double> biases(const PointResult& r) {
    std::vector<double> bias;
    for (const auto& cylinder : r.cylinders) {
        bias.push_back(cylinder.bias);
    }
    return bias;
}

/// Half width that holds 95 % where the answer is normal about its value, `normal` its own half
/// width, or about that moved by any of `shifts` together, each as likely as not.
double with_choices(double normal, const std::vector<double>& shifts) {
    constexpr double quantile = normal95, held = 0.95;
    std::vector<double> sums{0.0};
    for (const double shift : shifts) {
        const std::size_t count = sums.size();
        for (std::size_t i = 0; i < count; ++i) {
            sums.push_back(sums[i] + shift);
        }
    }
    double farthest = 0;
    for (const double sum : sums) {
        farthest = std::max(farthest, std::abs(sum));
    }
    if (farthest == 0 || normal == 0) {
        return std::max(farthest, normal);
    }
    const double scale = quantile / (normal * std::sqrt(2.0));
    const auto inside = [&](double half) {
        double sum = 0;
        for (const double shift : sums) {
            sum += 0.5 * (std::erf((half - shift) * scale) + std::erf((half + shift) * scale));
        }
        return sum / static_cast<double>(sums.size());
    };
    double low = 0;
    double high = farthest + normal;  // holds 95 % of each
    constexpr int halvings = 40;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (low + high);
        (inside(middle) < held ? low : high) = middle;
    }
    return high;
}

/// Half of what a number moves by from one end to the other.
template <class Number>
double half_move(const Ends& ends, Number&& number) {
    return 0.5 * (number(*ends.second) - number(*ends.first));
}

}  // namespace

double largest_move(const std::vector<double>& a, const std::vector<double>& b) {
    double largest = 0;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        largest = std::max(largest, std::abs(a[i] - b[i]));
    }
    return largest;
}

BandPart moves(const std::string& name, const PointResult& moved, const PointResult& nominal) {
    return {name,
            largest_move(biases(moved), biases(nominal)),
            nominal.air_flow != 0 ? std::abs(moved.air_flow / nominal.air_flow - 1) : 0,
            std::abs(moved.spread - nominal.spread),
            std::abs(moved.slot_loss - nominal.slot_loss)};
}

std::string end_of(const std::string& name, bool high) {
    return std::string(high ? "high" : "low") + " end of the " + name;
}

std::string without(const std::string& what) {
    return "the band is without the " + what + ": it did not converge";
}

template <class Number>
std::vector<double> BandSum::shifts(Number&& number) const {
    std::vector<double> found;
    for (const auto& choice : choices_) {
        found.push_back(number(choice) - number(nominal_));
    }
    return found;
}

void BandSum::add(BandPart part, double prior) {
    const auto squares = [](double sum, double x) { return std::hypot(sum, x); };
    join(bands_.sum, part, squares);
    join(bands_.before,
         {"", prior * part.bias, prior * part.air, prior * part.spread, prior * part.slot_loss},
         squares);
    learned_ = learned_ || prior != 1;
    keep(std::move(part));
}

void BandSum::add_correlation(double correlation, const Ends& a, const Ends& b) {
    const auto product = [&](auto&& number) {
        return 2 * correlation * half_move(a, number) * half_move(b, number);
    };
    for (std::size_t i = 0; i < crossed_bias_.size(); ++i) {
        crossed_bias_[i] += product([i](const auto& r) { return r.cylinders[i].bias; });
    }
    crossed_.spread += product([](const auto& r) { return r.spread; });
    crossed_.slot_loss += product([](const auto& r) { return r.slot_loss; });
    if (nominal_.air_flow != 0) {
        crossed_.air += product([this](const auto& r) { return r.air_flow / nominal_.air_flow; });
    }
}

void BandSum::add_choice(const std::string& law, PointResult other) {
    keep(moves(law, other, nominal_));
    choices_.push_back(std::move(other));
}

void BandSum::leave_out(const std::string& what) {
    bands_.left_out.push_back(without(what));
}

Bands BandSum::result() {
    std::stable_sort(bands_.parts.begin(), bands_.parts.end(), [](const auto& a, const auto& b) {
        return a.bias > b.bias;
    });
    choose(bands_.sum, crossed_, crossed_bias_);
    if (learned_) {
        choose(bands_.before, {}, std::vector<double>(crossed_bias_.size(), 0.0));
    } else {
        bands_.before = {};
    }
    return std::move(bands_);
}

/// From the sum of squares of the parts to the half width, with what correlations add or take
/// and with the choices.
void BandSum::choose(BandPart& sum,
                     const BandPart& crossed,
                     const std::vector<double>& crossed_bias) const {
    const auto with = [](double half, double cross) {
        return std::sqrt(std::max(half * half + cross, 0.0));
    };
    const double alone = std::exchange(sum.bias, 0.0);
    for (std::size_t i = 0; i < nominal_.cylinders.size(); ++i) {
        const auto bias = [i](const PointResult& r) { return r.cylinders[i].bias; };
        sum.bias = std::max(sum.bias, with_choices(with(alone, crossed_bias[i]), shifts(bias)));
    }
    sum.spread = with_choices(with(sum.spread, crossed.spread),
                              shifts([](const auto& r) { return r.spread; }));
    sum.slot_loss = with_choices(with(sum.slot_loss, crossed.slot_loss),
                                 shifts([](const auto& r) { return r.slot_loss; }));
    if (nominal_.air_flow != 0) {
        const auto air = [this](const auto& r) { return r.air_flow / nominal_.air_flow; };
        sum.air = with_choices(with(sum.air, crossed.air), shifts(air));
    }
}

void BandSum::keep(BandPart part) {
    if (part.bias > 0 || part.air > 0 || part.spread > 0 || part.slot_loss > 0) {
        bands_.parts.push_back(std::move(part));
    }
}

}  // namespace plenair::study
