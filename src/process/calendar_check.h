#pragma once

#include <map>
#include <vector>

#include "process/calendar.h"

namespace seamwright::process::calendar {

/// Its name, or its id where it has none.
std::string called(const Task& task);

std::map<std::string, int> clamps_there_are(const Shop& shop);

/// From the predecessor's hands-on end.
int lag_min(const Task& before, const Need& need);

/// What can be said before anything is placed, all of it.
std::vector<Refusal> check(const Shop& shop, const std::vector<Task>& tasks);

}  // namespace seamwright::process::calendar
