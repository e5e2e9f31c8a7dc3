// XDG Base Directory Specification 0.8 (https://specifications.freedesktop.org/basedir-spec), "Environment variables"
// and "Referencing this specification": an empty or relative path counts as none.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <map>

#include "store/store.h"

namespace seamwright::store {
namespace {

/// Puts the environment back as it was.
class Environment {
  public:
    Environment(const char* data, const char* home) {
        set("XDG_DATA_HOME", data);
        set("HOME", home);
    }
    Environment(const Environment&) = delete;
    Environment& operator=(const Environment&) = delete;
    ~Environment() {
        for (const auto& [name, value] : before_) put(name.c_str(), value ? value->c_str() : nullptr);
    }

  private:
    static void put(const char* name, const char* value) {
        if (value == nullptr) {
            ::unsetenv(name);
        } else {
            ::setenv(name, value, 1);
        }
    }
    void set(const char* name, const char* value) {
        const char* before = std::getenv(name);
        before_[name] = before == nullptr ? std::nullopt : std::optional<std::string>(before);
        put(name, value);
    }
    std::map<std::string, std::optional<std::string>> before_;
};

std::string chosen(const char* data, const char* home) {
    const Environment environment(data, home);
    return default_file().string();
}

TEST(DefaultFile, FollowsTheSpecification) {
    EXPECT_EQ(chosen("/data", "/home/maker"), "/data/seamwright/jobs.sqlite");
    EXPECT_EQ(chosen("/data", nullptr), "/data/seamwright/jobs.sqlite");
    for (const char* none : {static_cast<const char*>(nullptr), "", "data", "./data", "~/data"}) {
        EXPECT_EQ(chosen(none, "/home/maker"), "/home/maker/.local/share/seamwright/jobs.sqlite");
    }
}

TEST(DefaultFile, SaysWhenThereIsNoHome) {
    for (const char* none : {static_cast<const char*>(nullptr), "", "maker"}) {
        try {
            chosen("data", none);
            ADD_FAILURE() << "a place was found";
        } catch (const StoreFailure& why) {
            EXPECT_THAT(why.remedy(), ::testing::HasSubstr("XDG_DATA_HOME"));
        }
    }
}

}  // namespace
}  // namespace seamwright::store
