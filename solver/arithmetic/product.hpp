#pragma once

namespace plenair::arithmetic {

/// A product of packs that is not rounded yet. What is added to it in the same expression fuses
/// with it; whatever else is done with it rounds it first, and so does a name: `const R x = a * b`.
/// The text of a law alone thus says what is fused. A compiler that chooses does so by what stands
/// nearby, here for one lane and there for another.
template <class P>
class Product final {
public:
    Product(P a, P b) : a_(a), b_(b) {}

    [[gnu::always_inline]] operator P() const {
        return P::multiply(a_, b_);
    }  // implicit: as if done

    [[gnu::always_inline]] friend Product operator-(Product x) { return {-x.a_, x.b_}; }
    [[gnu::always_inline]] friend P operator+(Product x, P c) { return P::fused(x.a_, x.b_, c); }
    [[gnu::always_inline]] friend P operator+(P c, Product x) { return P::fused(x.a_, x.b_, c); }
    [[gnu::always_inline]] friend P operator+(Product x, Product y) {
        return P::fused(x.a_, x.b_, P(y));
    }
    [[gnu::always_inline]] friend P operator-(Product x, P c) { return P::fused(x.a_, x.b_, -c); }
    [[gnu::always_inline]] friend P operator-(P c, Product x) { return P::fused(-x.a_, x.b_, c); }
    [[gnu::always_inline]] friend P operator-(Product x, Product y) {
        return P::fused(x.a_, x.b_, -P(y));
    }

private:
    P a_, b_;
};

}  // namespace plenair::arithmetic
