#pragma once

namespace lampbeat::reasoning::judge {

/// The greatest |sinc(u)|, sinc(u) = sin(πu)/(πu), for u anywhere in from ... to (0 <= from <= to):
/// what an exposure can leave at most of a rhythm whose clock wanders over that many cycles in it.
/// Between the nulls the lobes peak near u = n + 1/2 − 1/(π²(n + 1/2)), at 1/√(1 + π²u²); the value
/// returned is at most 0.2 % above the true one.
double greatest_gain(double from_cycles, double to_cycles);

}  // namespace lampbeat::reasoning::judge
