#pragma once
// A site of the hillside orchard as a person might write it: three tanks, three or four pumps, and of all the
// rest what the dice say. The same dice give the same text.

#include <string>

#include "support/bench_seed.hpp"

namespace proof {

std::string any_site(support::Dice& dice);

}  // namespace proof
