#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

namespace seamwright::shelf {

/// The tool of that name among guides, bearings or cutters; nullptr when there is none.
template <class Tool>
const Tool* find_tool(const std::vector<Tool>& tools, const std::string& name) {
    const auto it = std::find_if(tools.begin(), tools.end(), [&](const Tool& tool) { return tool.name == name; });
    return it == tools.end() ? nullptr : &*it;
}
template <class Tool>
Tool* find_tool(std::vector<Tool>& tools, const std::string& name) {
    return const_cast<Tool*>(find_tool(std::as_const(tools), name));
}

}  // namespace seamwright::shelf
