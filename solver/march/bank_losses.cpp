#include "solver/march/bank_losses.hpp"

#include "solver/march/bank_of.hpp"

#include <algorithm>

namespace plenair {

namespace {

void add(std::vector<double>& sum, const std::vector<double>& rate, double length) {
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += length * rate[i];
    }
}

/// One kind of loss, bank by bank: integrals of flow and of flow times loss.
struct Split {
    std::vector<double> flow, loss;
    explicit Split(std::size_t banks) : flow(banks, 0.0), loss(banks, 0.0) {}
    void count(std::size_t bank, double its_flow, double its_loss) {
        flow[bank] += its_flow;
        loss[bank] += its_loss;
    }
    /// Means of the banks, so that their mean is that of the point.
    void share_out(double of_point,
                   double BankResult::*member,
                   std::vector<BankResult>& banks) const {
        double all_flow = 0.0;
        double all_loss = 0.0;
        for (std::size_t b = 0; b < banks.size(); ++b) {
            all_flow += flow[b];
            all_loss += loss[b];
        }
        for (std::size_t b = 0; b < banks.size(); ++b) {
            const bool any = flow[b] > least_through * all_flow && all_loss != 0.0;
            banks[b].*member = any ? of_point * (loss[b] / flow[b]) * (all_flow / all_loss) : 0.0;
        }
    }
};

}  // namespace

BankLosses::BankLosses(const Network& network) : n_(network), several_(network.banks.size() > 1) {}

void BankLosses::begin() {
    if (!several_) {
        return;
    }
    end_flow_.assign(2 * n_.chains.size(), 0.0);
    end_loss_ = end_flow_;
    wall_loss_.assign(n_.chains.size(), 0.0);
    passage_flow_.assign(n_.passages.size(), 0.0);
    passage_loss_ = passage_flow_;
    mouth_flow_.assign(n_.mouths.size(), 0.0);
    mouth_loss_ = mouth_flow_;
}

void BankLosses::observe(const Snapshot& snapshot, double length) {
    if (!several_) {
        return;
    }
    add(end_flow_, snapshot.end_flow, length);
    add(end_loss_, snapshot.end_loss, length);
    add(wall_loss_, snapshot.wall_loss, length);
    add(passage_flow_, snapshot.passage_flow, length);
    add(passage_loss_, snapshot.passage_loss, length);
    add(mouth_flow_, snapshot.mouth_flow, length);
    add(mouth_loss_, snapshot.mouth_loss, length);
}

void BankLosses::share(PointResult& result) const {
    // Banks without cylinders have no losses to be told.
    const std::size_t count = n_.banks.size();
    if (!several_ || result.banks.size() != count) {
        return;
    }
    Split throttle(count);
    Split slot(count);
    Split mouth(count);
    Split port(count);
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        const std::size_t bank = static_cast<std::size_t>(chain.bank);
        if (chain.start == EndKind::throttle) {
            throttle.count(bank, end_flow_[2 * c], end_loss_[2 * c]);
        }
        if (chain.end == EndKind::throttle) {
            throttle.count(bank, end_flow_[2 * c + 1], end_loss_[2 * c + 1]);
        }
        if (chain.end == EndKind::valve) {
            port.count(bank, 0.0, wall_loss_[c]);
        }
    }
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const Passage& passage = n_.passages[i];
        const Chain* chamber = chamber_of(n_, passage.source ? passage.to : passage.from);
        if (chamber != nullptr && (passage.source || passage.slot)) {
            (passage.source ? throttle : slot)
                .count(static_cast<std::size_t>(chamber->bank), passage_flow_[i], passage_loss_[i]);
        }
    }
    for (std::size_t i = 0; i < n_.mouths.size(); ++i) {
        const Chain& runner = n_.chains[static_cast<std::size_t>(n_.mouths[i].chain)];
        const std::size_t bank = static_cast<std::size_t>(runner.bank);
        mouth.count(bank, mouth_flow_[i], mouth_loss_[i]);
        port.count(bank, mouth_flow_[i], 0.0);  // as in fill_losses
    }
    throttle.share_out(result.throttle_loss, &BankResult::throttle_loss, result.banks);
    slot.share_out(result.slot_loss, &BankResult::slot_loss, result.banks);
    mouth.share_out(result.mouth_loss, &BankResult::mouth_loss, result.banks);
    port.share_out(result.port_loss, &BankResult::port_loss, result.banks);
    for (BankResult& bank : result.banks) {
        bank.total_loss = bank.throttle_loss + bank.slot_loss + bank.mouth_loss + bank.port_loss;
    }
}

}  // namespace plenair
