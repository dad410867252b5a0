#include "takes/budget.h"

#include "datafile/json_text.h"
#include "logbook/logbook.h"

#include <algorithm>
#include <charconv>
#include <cstdio>

namespace bellhand::takes {

namespace {

constexpr const char* kBudgetKey = "takes_budget_bytes";
constexpr const char* kNamedKey = "takes_named_to_leave"; // ids, JSON
constexpr std::size_t kMostNamed = 512;

std::string megabytes(std::int64_t bytes) {
    char text[32];
    std::snprintf(text, sizeof text, "%.0f MB", static_cast<double>(bytes) / 1e6);
    return text;
}

std::set<std::int64_t> named_before(const std::optional<std::string>& text) {
    std::set<std::int64_t> ids;
    const auto json = datafile::parse_guarded_json(text.value_or("[]"), "takes", {});
    if (json && json->is_array()) {
        for (const nlohmann::json& id : *json) {
            if (id.is_number_integer()) {
                ids.insert(id.get<std::int64_t>());
            }
        }
    }
    return ids;
}

std::string count_of(std::size_t takes) {
    return std::to_string(takes) + (takes == 1 ? " take" : " takes");
}

} // namespace

Clearing plan_clearing(std::span<const logbook::TakeRecord> takes,
                       const std::set<std::int64_t>& protected_ids,
                       std::int64_t used_bytes,
                       std::int64_t budget_bytes) {
    Clearing clearing;
    clearing.used_bytes = used_bytes;
    clearing.budget_bytes = budget_bytes;
    for (const logbook::TakeRecord& take : takes) {
        if (used_bytes - clearing.leaving_bytes <= budget_bytes) {
            break;
        }
        if (!take.kept && !protected_ids.contains(take.id)) {
            clearing.leaving.push_back(take);
            clearing.leaving_bytes += take.bytes;
        }
    }
    clearing.enough = used_bytes - clearing.leaving_bytes <= budget_bytes;
    return clearing;
}

Result<std::set<std::int64_t>> homework_takes(logbook::Logbook& book) {
    const auto homework = book.homework();
    if (!homework) {
        return tl::unexpected(homework.error());
    }
    std::set<std::string> open;
    for (const logbook::HomeworkRecord& record : *homework) {
        if (record.returned_at.empty()) {
            open.insert(record.id);
        }
    }
    std::set<std::int64_t> ids;
    if (open.empty()) {
        return ids;
    }
    const auto takes = book.all_takes();
    if (!takes) {
        return tl::unexpected(takes.error());
    }
    std::int64_t session = 0;
    std::set<std::uint32_t> numbers; // blocks of that session that are open homework
    for (const logbook::TakeRecord& take : *takes) {
        if (take.session != session) {
            session = take.session;
            numbers.clear();
            const auto blocks = book.blocks(session);
            if (!blocks) {
                return tl::unexpected(blocks.error());
            }
            for (const logbook::BlockRecord& block : *blocks) {
                if (open.contains(block.homework)) {
                    numbers.insert(block.number);
                }
            }
        }
        if (take.block && numbers.contains(*take.block)) {
            ids.insert(take.id);
        }
    }
    return ids;
}

Result<std::int64_t> budget(logbook::Logbook& book) {
    const auto text = book.setting(kBudgetKey);
    if (!text) {
        return tl::unexpected(text.error());
    }
    std::int64_t bytes = kUsualBudget_bytes;
    if (*text) {
        std::from_chars((*text)->data(), (*text)->data() + (*text)->size(), bytes);
    }
    return std::max(bytes, kLeastBudget_bytes);
}

Result<void> set_budget(logbook::Logbook& book, std::int64_t bytes) {
    if (bytes < kLeastBudget_bytes) {
        return usage_error("Takes need room for at least " + megabytes(kLeastBudget_bytes) +
                           ", some ten minutes of sound; give more.");
    }
    return book.put_setting(kBudgetKey, std::to_string(bytes));
}

Result<std::string> keep_within_budget(logbook::Logbook& book) {
    const auto limit = budget(book);
    const auto takes = book.all_takes();
    const auto used = book.takes_bytes();
    const auto guarded = homework_takes(book);
    const auto named_text = book.setting(kNamedKey);
    for (const Error* error : {limit ? nullptr : &limit.error(),
                               takes ? nullptr : &takes.error(),
                               used ? nullptr : &used.error(),
                               guarded ? nullptr : &guarded.error(),
                               named_text ? nullptr : &named_text.error()}) {
        if (error != nullptr) {
            return tl::unexpected(*error);
        }
    }
    const std::set<std::int64_t> named = named_before(*named_text);
    std::int64_t still_used = *used;
    std::set<std::int64_t> gone;
    for (const logbook::TakeRecord& take : plan_clearing(*takes, *guarded, *used, *limit).leaving) {
        if (named.contains(take.id)) {
            if (auto removed = book.remove_take(take.id); !removed) {
                return tl::unexpected(removed.error());
            }
            still_used -= take.bytes;
            gone.insert(take.id);
        }
    }
    std::vector<logbook::TakeRecord> left;
    std::copy_if(takes->begin(),
                 takes->end(),
                 std::back_inserter(left),
                 [&](const logbook::TakeRecord& take) { return !gone.contains(take.id); });
    const auto notice_bytes = static_cast<std::int64_t>(kNoticeShare * static_cast<double>(*limit));
    const Clearing next = plan_clearing(left, *guarded, still_used, notice_bytes);
    nlohmann::json ids = nlohmann::json::array();
    for (const logbook::TakeRecord& take : next.leaving) {
        if (ids.size() < kMostNamed) {
            ids.push_back(take.id);
        }
    }
    if (ids.dump() != named_text->value_or("[]")) {
        if (auto put = book.put_setting(kNamedKey, ids.dump()); !put) {
            return tl::unexpected(put.error());
        }
    }
    std::string said;
    if (!gone.empty()) {
        said = "To save room " + count_of(gone.size()) + " named last time went. ";
    }
    if (!next.leaving.empty()) {
        said += "Takes fill " + megabytes(still_used) + " of " + megabytes(*limit) +
                ": when more room is needed the oldest " + count_of(next.leaving.size()) +
                " will go; mark as kept what must stay, or allow more room.";
    } else if (!next.enough && still_used > *limit) {
        said += "Takes fill " + megabytes(still_used) + ", more than the " + megabytes(*limit) +
                " allowed, and all of them are to be kept: allow more room, or remove some.";
    }
    return said;
}

Result<void> set_kept(logbook::Logbook& book, std::int64_t take, bool kept) {
    const auto takes = book.all_takes();
    if (!takes) {
        return tl::unexpected(takes.error());
    }
    for (logbook::TakeRecord record : *takes) {
        if (record.id == take) {
            record.kept = kept;
            if (auto put = book.put_take(record); !put) {
                return tl::unexpected(put.error());
            }
            return {};
        }
    }
    return usage_error("There is no take " + std::to_string(take) +
                       " in the log; `bellhand log` lists what there is.");
}

} // namespace bellhand::takes
