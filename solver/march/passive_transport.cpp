#include "solver/march/passive_transport.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair {

namespace {

constexpr double floor_speed = 0.02;  // dissipation in units of the speed of sound
constexpr double largest_entry = 1.3;  // a matrix beyond it has overshot

/// Eigen orders its sums by the caches of the processor: sizes that are the same everywhere keep
/// the bits the same everywhere.
void fix_order_of_sums() {
    static const bool done = [] {
        Eigen::setCpuCacheSizes(32 * 1024, 256 * 1024, 2 * 1024 * 1024);
        return true;
    }();
    (void)done;
}

std::size_t index(int i) {
    return static_cast<std::size_t>(i);
}

}  // namespace

PassiveTransport::PassiveTransport(const Network& network)
    : n_(network), row_(index(network.layout.cells), -1) {
    for (const Chain& c : n_.chains) {
        for (int i = c.first; i < c.first + c.count; ++i) {
            row_[index(i)] = static_cast<int>(cells_.size());
            cells_.push_back(i);
        }
    }
    for (const Mouth& mouth : n_.mouths) {
        runners_.push_back({n_.chains[index(mouth.chain)].first, {1.0}, 0.0});
    }
    fix_order_of_sums();
    rates_.resize(cells_.size());
    own_.resize(cells_.size());
    const auto size = static_cast<Eigen::Index>(cells_.size());
    carried_ = Carried::Identity(size, size);
    next_.resize(size, size);
}

void PassiveTransport::carry(const std::vector<double>& state, double length) {
    PLENAIR_EXPECT(state.size() == index(n_.layout.size()) && length > 0.0);
    for (auto& taken : rates_) {
        taken.clear();
    }
    std::fill(own_.begin(), own_.end(), 0.0);
    for (const Chain& c : n_.chains) {
        chain(c, state, length);
    }
    const Layout& at = n_.layout;
    const auto velocity_flow = [&](int cell) {
        return state[index(at.rho_u() + cell)] * n_.area[index(cell)];
    };
    for (std::size_t i = 0; i < n_.mouths.size(); ++i) {
        exchange(n_.mouths[i].plenum, runners_[i], velocity_flow(runners_[i].first));
    }
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const Passage& p = n_.passages[i];
        exchange(p.from, p.to, state[index(at.passage_flow()) + i]);
    }
    const auto share_of = [&](std::size_t k) {
        const auto cell = index(cells_[k]);
        return length / (state[index(at.rho()) + cell] * n_.volume[cell]);
    };
    // Explicit: no cell may give more than it holds, or the matrix overshoots.
    constexpr double most_given = 0.9;
    double given = 0.0;
    for (std::size_t k = 0; k < cells_.size(); ++k) {
        given = std::max(given, share_of(k) * own_[k]);
    }
    if (given > most_given && given < 64.0 * most_given) {
        carry(state, 0.5 * length);
        carry(state, 0.5 * length);
        return;
    }
    for (std::size_t k = 0; k < cells_.size(); ++k) {
        const double share = share_of(k);
        const auto r = static_cast<Eigen::Index>(k);
        next_.row(r) = static_cast<float>(1.0 - share * own_[k]) * carried_.row(r);
        for (const Weight& w : rates_[k]) {
            next_.row(r) += static_cast<float>(share * w.value) * carried_.row(w.cell);
        }
    }
    carried_.swap(next_);
}

void PassiveTransport::gain(int cell, double rate, int from) {
    if (from == cell) {
        return;
    }
    own_[index(cell)] += rate;
    auto& taken = rates_[index(cell)];
    const auto same =
        std::find_if(taken.begin(), taken.end(), [&](const Weight& w) { return w.cell == from; });
    if (same == taken.end()) {
        taken.push_back({from, rate});
    } else {
        same->value += rate;
    }
}

/// From outside: nothing that this network would have to remember.
void PassiveTransport::inflow(int cell, double flow) {
    own_[index(row(cell))] += std::max(flow, 0.0);
}

void PassiveTransport::chain(const Chain& c, const std::vector<double>& state, double length) {
    for (int f = c.first + 1; f < c.first + c.count; ++f) {
        inner_face(c, f, state, length);
    }
    const auto into = [&](int cell) {
        return state[index(n_.layout.rho_u() + cell)] * n_.area[index(cell)];
    };
    const auto outside = [](EndKind kind) {
        return kind == EndKind::open || kind == EndKind::throttle || kind == EndKind::valve ||
               kind == EndKind::exit;
    };
    if (outside(c.start)) {
        inflow(c.first, into(c.first));
    }
    const int last = c.first + c.count - 1;
    if (outside(c.end)) {
        inflow(last, -into(last));
    }
}

/// Third-order upwind-biased values on both sides of a face, one cell's next to an end; advective
/// form, so that what is the same everywhere stays as it is.
void PassiveTransport::inner_face(const Chain& c,
                                  int face,
                                  const std::vector<double>& state,
                                  double length) {
    const Layout& at = n_.layout;
    const auto rho = [&](int cell) { return state[index(at.rho() + cell)]; };
    const auto flow_of = [&](int cell) {
        return state[index(at.rho_u() + cell)] * n_.area[index(cell)];
    };
    const int l = face - 1;
    const int r = face;
    const double flow = 0.5 * (flow_of(l) + flow_of(r));
    const double area = 0.5 * (n_.area[index(l)] + n_.area[index(r)]);
    const double sound = std::sqrt(n_.gas.gamma * n_.source.rt);
    const double dissipation =
        std::max(std::abs(flow), floor_speed * sound * 0.5 * (rho(l) + rho(r)) * area);
    // face value x flow = to_left (left state) + to_right (right state)
    const double of_left = 0.5 * (flow + dissipation);
    const double of_right = 0.5 * (flow - dissipation);
    const bool has_before = l > c.first;
    const bool has_behind = r + 1 < c.first + c.count;
    const Weight left[3] = {{has_before ? l - 1 : l, has_before ? -1.0 / 6.0 : 0.0},
                            {l, has_before ? 5.0 / 6.0 : 1.0},
                            {r, has_before ? 2.0 / 6.0 : 0.0}};
    const Weight right[3] = {{l, has_behind ? 2.0 / 6.0 : 0.0},
                             {r, has_behind ? 5.0 / 6.0 : 1.0},
                             {has_behind ? r + 1 : r, has_behind ? -1.0 / 6.0 : 0.0}};
    // What a step of the first order in time lacks of the second (Lax and Wendroff): without it the
    // fast runners overshoot.
    const double mass = 0.5 * (rho(l) * n_.volume[index(l)] + rho(r) * n_.volume[index(r)]);
    const double mixed = 0.5 * flow * flow * length / mass;
    gain(row(l), mixed, row(r));
    gain(row(r), mixed, row(l));
    for (const Weight& w : left) {
        gain(row(l), -of_left * w.value, row(w.cell));
        gain(row(r), of_left * w.value, row(w.cell));
    }
    for (const Weight& w : right) {
        gain(row(l), -of_right * w.value, row(w.cell));
        gain(row(r), of_right * w.value, row(w.cell));
    }
}

/// Donor cells; an empty footprint is outside.
void PassiveTransport::exchange(const Footprint& from, const Footprint& to, double flow) {
    const Footprint& donor = flow >= 0.0 ? from : to;
    const Footprint& taker = flow >= 0.0 ? to : from;
    const double size = std::abs(flow);
    for (std::size_t j = 0; j < taker.weight.size(); ++j) {
        const int cell = taker.first + static_cast<int>(j);
        const double taken = size * taker.weight[j];
        if (donor.weight.empty()) {
            inflow(cell, taken);
        }
        for (std::size_t k = 0; k < donor.weight.size(); ++k) {
            gain(row(cell), taken * donor.weight[k], row(donor.first + static_cast<int>(k)));
        }
    }
}

void PassiveTransport::end(double kept) {
    // Many are kept for others, who need no more than the forecast.
    next_.resize(0, 0);
    rates_ = {};
    const Carried carried = std::move(carried_);
    const bool sound = carried.allFinite() && carried.cwiseAbs().maxCoeff() <= largest_entry;
    if (!sound) {
        return;
    }
    const auto size = carried.rows();
    const Matrix left = Matrix::Identity(size, size) - kept * carried.cast<double>();
    const Matrix inverse = arithmetic::inverse(left);
    if (inverse.allFinite()) {
        forecast_ = inverse - Matrix::Identity(size, size);
        known_ = true;
    }
}

Eigen::VectorXd PassiveTransport::forecast(const Eigen::VectorXd& change) const {
    return forecast_ * change;
}

}  // namespace plenair
