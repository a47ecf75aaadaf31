#pragma once
// Which causes the end-to-end tests bring about, and how.
#include <vector>

#include "support/cause_stage.hpp"

const std::vector<support::CauseCase>& cases_of_the_demonstration();
/// On pumps with everything that a configuration can guard them by.
const std::vector<support::CauseCase>& cases_of_the_guards();
const std::vector<support::CauseCase>& cases_of_the_stagger();
