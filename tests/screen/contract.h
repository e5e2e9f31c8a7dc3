#pragma once

// Reads web/src/protocol.ts, as far as it goes: interfaces and types of names, unions, lists, tuples, groups and
// literals. What the program writes is held against it, so page and program cannot drift apart unseen.

#include <cctype>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "job/job_files.h"

namespace seamwright::screen::testing {

class Contract {
  public:
    Contract() { read(job::testing::slurp(job::testing::source("web/src/protocol.ts"))); }

    /// Empty when the value is of that type; else where it is not, and why.
    std::string why_not(const std::string& type, const nlohmann::json& value) const {
        return check(*types_.at(type), value, type);
    }
    std::size_t size() const { return types_.size(); }

  private:
    struct Type;
    using TypePtr = std::shared_ptr<Type>;
    struct Member {
        std::string key;
        bool optional = false;
        TypePtr type;
    };
    struct Type {
        enum class Kind { name, literal, list, tuple, group, either };
        Kind kind = Kind::name;
        std::string text;  // of a name or literal
        std::vector<TypePtr> parts;
        std::vector<Member> members;
    };

    static std::vector<std::string> tokens(const std::string& text) {
        std::vector<std::string> found;
        for (std::size_t i = 0; i < text.size();) {
            const char c = text[i];
            if (std::isspace(static_cast<unsigned char>(c)) != 0) {
                ++i;
            } else if (text.compare(i, 2, "//") == 0) {
                while (i < text.size() && text[i] != '\n') ++i;
            } else if (text.compare(i, 2, "/*") == 0) {
                i = text.find("*/", i) + 2;
            } else if (c == '"') {
                const std::size_t end = text.find('"', i + 1);
                found.push_back(text.substr(i, end + 1 - i));
                i = end + 1;
            } else if (std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_') {
                std::size_t end = i;
                while (end < text.size() &&
                       (std::isalnum(static_cast<unsigned char>(text[end])) != 0 || text[end] == '_'))
                    ++end;
                found.push_back(text.substr(i, end - i));
                i = end;
            } else {
                found.emplace_back(1, c);
                ++i;
            }
        }
        return found;
    }

    void read(const std::string& text) {
        tokens_ = tokens(text);
        while (at_ < tokens_.size()) {
            const std::string word = next();
            if (word == "interface") {
                const std::string name = next();
                types_[name] = group();
            } else if (word == "type") {
                const std::string name = next();
                expect("=");
                types_[name] = either();
            }
        }
    }

    const std::string& peek() const {
        static const std::string end;
        return at_ < tokens_.size() ? tokens_[at_] : end;
    }
    std::string next() { return tokens_.at(at_++); }
    void expect(const std::string& token) {
        if (next() != token) throw std::runtime_error("protocol.ts: " + token + " expected before " + peek());
    }

    TypePtr group() {
        auto type = std::make_shared<Type>();
        type->kind = Type::Kind::group;
        expect("{");
        while (peek() != "}") {
            Member member;
            member.key = next();
            if (peek() == "?") {
                member.optional = true;
                next();
            }
            expect(":");
            member.type = either();
            type->members.push_back(std::move(member));
            if (peek() == ";" || peek() == ",") next();
        }
        next();
        return type;
    }

    TypePtr either() {
        if (peek() == "|") next();
        std::vector<TypePtr> parts{postfix()};
        while (peek() == "|") {
            next();
            parts.push_back(postfix());
        }
        if (parts.size() == 1) return parts.front();
        auto type = std::make_shared<Type>();
        type->kind = Type::Kind::either;
        type->parts = std::move(parts);
        return type;
    }

    TypePtr postfix() {
        TypePtr type = primary();
        while (peek() == "[" && at_ + 1 < tokens_.size() && tokens_[at_ + 1] == "]") {
            at_ += 2;
            auto list = std::make_shared<Type>();
            list->kind = Type::Kind::list;
            list->parts = {type};
            type = list;
        }
        return type;
    }

    TypePtr primary() {
        if (peek() == "{") return group();
        if (peek() == "(") {
            next();
            TypePtr type = either();
            expect(")");
            return type;
        }
        auto type = std::make_shared<Type>();
        if (peek() == "[") {
            next();
            type->kind = Type::Kind::tuple;
            while (peek() != "]") {
                if (at_ + 1 < tokens_.size() && tokens_[at_ + 1] == ":") at_ += 2;  // a label
                type->parts.push_back(either());
                if (peek() == ",") next();
            }
            next();
            return type;
        }
        type->text = next();
        if (type->text.front() == '"') {
            type->kind = Type::Kind::literal;
            type->text = type->text.substr(1, type->text.size() - 2);
        }
        return type;
    }

    std::string check(const Type& type, const nlohmann::json& value, const std::string& where) const {
        const auto wrong = [&](const std::string& wanted) {
            return where + ": wanted " + wanted + ", found " + value.dump().substr(0, 120);
        };
        switch (type.kind) {
            case Type::Kind::name: {
                if (type.text == "string") return value.is_string() ? "" : wrong("a text");
                if (type.text == "number") return value.is_number() ? "" : wrong("a number");
                if (type.text == "boolean") return value.is_boolean() ? "" : wrong("true or false");
                if (type.text == "null") return value.is_null() ? "" : wrong("null");
                if (type.text == "true") return value == true ? "" : wrong("true");
                if (type.text == "unknown") return "";
                return check(*types_.at(type.text), value, where);
            }
            case Type::Kind::literal:
                // In the edit of a field "$" stands for the value that the maker chooses.
                return value == type.text || value == "$" ? "" : wrong('"' + type.text + '"');
            case Type::Kind::list: {
                if (!value.is_array()) return wrong("a list");
                for (std::size_t i = 0; i < value.size(); ++i) {
                    const std::string why = check(*type.parts.front(), value[i], where + "/" + std::to_string(i));
                    if (!why.empty()) return why;
                }
                return "";
            }
            case Type::Kind::tuple: {
                if (!value.is_array() || value.size() != type.parts.size()) return wrong("a list of a certain length");
                for (std::size_t i = 0; i < value.size(); ++i) {
                    const std::string why = check(*type.parts[i], value[i], where + "/" + std::to_string(i));
                    if (!why.empty()) return why;
                }
                return "";
            }
            case Type::Kind::group: {
                if (!value.is_object()) return wrong("a group");
                for (const auto& member : type.members) {
                    if (!value.contains(member.key)) {
                        if (!member.optional) return where + ": no \"" + member.key + "\"";
                        continue;
                    }
                    const std::string why = check(*member.type, value[member.key], where + "/" + member.key);
                    if (!why.empty()) return why;
                }
                for (const auto& [key, ignored] : value.items()) {
                    bool known = false;
                    for (const auto& member : type.members) known = known || member.key == key;
                    if (!known) return where + ": \"" + key + "\" is not in the contract";
                }
                return "";
            }
            case Type::Kind::either: {
                std::string all;
                for (const auto& part : type.parts) {
                    const std::string why = check(*part, value, where);
                    if (why.empty()) return "";
                    all += (all.empty() ? "" : "\n  or ") + why;
                }
                return all;
            }
        }
        return "";
    }

    std::vector<std::string> tokens_;
    std::size_t at_ = 0;
    std::map<std::string, TypePtr> types_;
};

}  // namespace seamwright::screen::testing
