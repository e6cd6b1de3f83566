#include "tests/reference/pipe.hpp"

#include <algorithm>
#include <cmath>

namespace plenair::reference {

namespace {

constexpr double pi = 3.14159265358979323846;

/// Slope from the differences to both sides: the central one, at most twice the smaller.
double limited(double left, double right) {
    if (left * right <= 0) {
        return 0;
    }
    const double least = 2 * std::min(std::abs(left), std::abs(right));
    return std::copysign(std::min(0.5 * std::abs(left + right), least), left);
}

}  // namespace

Pipe::Pipe(const Gas& gas, double length, int cells, const std::function<double(double)>& area)
    : state(at(cells)),
      gas_(gas),
      dx_(length / cells),
      slope_(at(cells)),
      middle_(at(cells)),
      source_(at(cells)),
      last_source_(at(cells)) {
    for (int i = 0; i <= cells; ++i) {
        face_area_.push_back(area(i * dx_));
    }
    for (int i = 0; i < cells; ++i) {
        const double mean = (face_area_[at(i)] + 4 * area(centre(i)) + face_area_[at(i + 1)]) / 6;
        volume_.push_back(mean * dx_);
        diameter_.push_back(std::sqrt(4 * mean / pi));
    }
}

double Pipe::wave_rate() const {
    double most = 0;
    for (const Primitive& w : state) {
        most = std::max(most, std::abs(w.u) + std::sqrt(gas_.gamma * w.p / w.rho));
    }
    return most / dx_;
}

double Pipe::mass() const {
    double sum = 0;
    for (int i = 0; i < cells(); ++i) {
        sum += state[at(i)].rho * volume_[at(i)];
    }
    return sum;
}

double Pipe::energy() const {
    double sum = 0;
    for (int i = 0; i < cells(); ++i) {
        const Primitive& w = state[at(i)];
        sum += (w.p / (gas_.gamma - 1) + 0.5 * w.rho * w.u * w.u) * volume_[at(i)];
    }
    return sum;
}

void Pipe::fill(const std::function<Primitive(double)>& at_x) {
    for (int i = 0; i < cells(); ++i) {
        state[at(i)] = at_x(centre(i));
    }
}

void Pipe::predict(double dt) {
    const int n = cells();
    const double h = 0.5 * dt;
    for (int i = 0; i < n; ++i) {
        const Primitive& w = state[at(i)];
        const Primitive& l = state[at(std::max(i - 1, 0))];
        const Primitive& r = state[at(std::min(i + 1, n - 1))];
        // At an end the slope is that to the only neighbour, at most twice the next one inside.
        const auto slope = [&](double Primitive::*q) {
            if (n < 3) {
                return 0.0;
            }
            if (i == 0) {
                return limited(r.*q - w.*q, state[2].*q - r.*q) == 0 ? 0.0 : r.*q - w.*q;
            }
            if (i == n - 1) {
                const double inner = l.*q - state[at(n - 3)].*q;
                return limited(w.*q - l.*q, inner) == 0 ? 0.0 : w.*q - l.*q;
            }
            return limited(w.*q - l.*q, r.*q - w.*q);
        };
        Primitive& s = slope_[at(i)];
        s = {slope(&Primitive::rho),
             slope(&Primitive::u),
             slope(&Primitive::p),
             slope(&Primitive::y)};
        // No edge below a third of the mean.
        s.rho = std::clamp(s.rho, -1.3 * w.rho, 1.3 * w.rho);
        s.p = std::clamp(s.p, -1.3 * w.p, 1.3 * w.p);
        const double stretch = (face_area_[at(i + 1)] - face_area_[at(i)]) * w.u / volume_[at(i)];
        const Rates& q = last_source_[at(i)];
        const double momentum = q[1] - w.u * q[0];
        const double heat = q[2] - w.u * q[1] + 0.5 * w.u * w.u * q[0];
        double drag = 0.5 * loss_per_length * w.u * std::abs(w.u);
        if (darcy) {
            drag += 0.5 * darcy(i, w) / diameter_[at(i)] * w.u * std::abs(w.u);
        }
        Primitive& m = middle_[at(i)];
        m.rho = w.rho + h * (-(w.u * s.rho + w.rho * s.u) / dx_ - w.rho * stretch + q[0]);
        m.u = w.u + h * (-(w.u * s.u + s.p / w.rho) / dx_ - drag + momentum / w.rho);
        m.p = w.p + h * (-(w.u * s.p + gas_.gamma * w.p * s.u) / dx_ - gas_.gamma * w.p * stretch +
                         (gas_.gamma - 1) * (heat + w.rho * w.u * drag));
        m.y = w.y + h * (-w.u * s.y / dx_ + (q[3] - w.y * q[0]) / w.rho);
        m.rho = std::max(m.rho, 0.3 * w.rho);
        m.p = std::max(m.p, 0.3 * w.p);
        source_[at(i)] = {};
    }
    end_set_ = {};
}

Primitive Pipe::edge(int i, double side) const {
    const Primitive& m = middle_[at(i)];
    const Primitive& s = slope_[at(i)];
    const double f = 0.5 * side;
    return {std::max(m.rho + f * s.rho, 0.2 * m.rho),
            m.u + f * s.u,
            std::max(m.p + f * s.p, 0.2 * m.p),
            m.y + f * s.y};
}

Duct Pipe::end(bool start) const {
    const Primitive w = edge(start ? 0 : cells() - 1, start ? -1 : 1);
    return {w.p, w.rho, start ? w.u : -w.u, start ? face_area_.front() : face_area_.back()};
}

double Pipe::end_fresh(bool start) const {
    return edge(start ? 0 : cells() - 1, start ? -1 : 1).y;
}

void Pipe::set_end(bool start, const Through& c, double fresh) {
    const double sign = start ? 1 : -1;
    const double g = sign * c.mass / (start ? face_area_.front() : face_area_.back());
    end_flux_[start ? 0 : 1] = {g, c.duct.rho * c.duct.v * c.duct.v, g * c.h0, g * fresh, c.duct.p};
    end_set_[start ? 0 : 1] = true;
}

void Pipe::wall(bool start) {
    end_flux_[start ? 0 : 1] = {0, 0, 0, 0, stop_pressure(gas_, end(start))};
}

void Pipe::add(int i, const Rates& rates) {
    for (std::size_t k = 0; k < rates.size(); ++k) {
        source_[at(i)][k] += rates[k] / volume_[at(i)];
    }
}

/// Toro 2009, section 10.4 to 10.6: signal speeds from the pressure of the star region.
Pipe::Flux Pipe::hllc(const Primitive& l, const Primitive& r) const {
    const double g = gas_.gamma;
    const double al = std::sqrt(g * l.p / l.rho);
    const double ar = std::sqrt(g * r.p / r.rho);
    const double guess = 0.5 * (l.p + r.p) - 0.125 * (r.u - l.u) * (l.rho + r.rho) * (al + ar);
    const double star = std::max(guess, 0.0);
    const auto factor = [&](double p) {
        return star <= p ? 1.0 : std::sqrt(1 + (g + 1) / (2 * g) * (star / p - 1));
    };
    const double sl = l.u - al * factor(l.p);
    const double sr = r.u + ar * factor(r.p);
    const auto full = [&](const Primitive& w) {
        const double h = g / (g - 1) * w.p / w.rho + 0.5 * w.u * w.u;
        const double m = w.rho * w.u;
        return Flux{m, m * w.u, m * h, m * w.y, w.p};
    };
    if (sl >= 0) {
        return full(l);
    }
    if (sr <= 0) {
        return full(r);
    }
    const double sm = (r.p - l.p + l.rho * l.u * (sl - l.u) - r.rho * r.u * (sr - r.u)) /
                      (l.rho * (sl - l.u) - r.rho * (sr - r.u));
    const bool left = sm >= 0;
    const Primitive& w = left ? l : r;
    const double s = left ? sl : sr;
    const double rho = w.rho * (s - w.u) / (s - sm);
    const double p = w.p + w.rho * (s - w.u) * (sm - w.u);
    const double e = w.p / (g - 1) / w.rho + 0.5 * w.u * w.u;
    const double total = e + (sm - w.u) * (sm + w.p / (w.rho * (s - w.u)));
    return {rho * sm, rho * sm * sm, sm * (rho * total + p), rho * sm * w.y, p};
}

void Pipe::finish(double dt) {
    const int n = cells();
    for (const bool start : {true, false}) {
        if (!end_set_[start ? 0 : 1]) {
            wall(start);
        }
    }
    Flux before = end_flux_[0];
    for (int i = 0; i < n; ++i) {
        const Flux after = i == n - 1 ? end_flux_[1] : hllc(edge(i, 1), edge(i + 1, -1));
        const double left = face_area_[at(i)];
        const double right = face_area_[at(i + 1)];
        Primitive& w = state[at(i)];
        const Primitive& m = middle_[at(i)];
        const Rates& q = source_[at(i)];
        const double k = dt / volume_[at(i)];
        const double rho = w.rho + k * (left * before.mass - right * after.mass) + dt * q[0];
        double drag = 0.5 * loss_per_length * m.rho * m.u * std::abs(m.u);
        if (darcy) {
            drag += 0.5 * darcy(i, m) / diameter_[at(i)] * m.rho * m.u * std::abs(m.u);
        }
        const double momentum =
            w.rho * w.u +
            k * (left * (before.momentum + before.pressure) -
                 right * (after.momentum + after.pressure) + m.p * (right - left)) +
            dt * (q[1] - drag);
        const double energy = w.p / (gas_.gamma - 1) + 0.5 * w.rho * w.u * w.u +
                              k * (left * before.energy - right * after.energy) + dt * q[2];
        const double fresh =
            w.rho * w.y + k * (left * before.fresh - right * after.fresh) + dt * q[3];
        w.rho = rho;
        w.u = momentum / rho;
        w.p = (gas_.gamma - 1) * (energy - 0.5 * rho * w.u * w.u);
        w.y = fresh / rho;
        before = after;
    }
    last_source_ = source_;
}

}  // namespace plenair::reference
