#include "progress/balance.h"

#include <algorithm>
#include <map>

namespace bellhand::progress {

namespace {

constexpr std::size_t kNewest = 20;
constexpr std::size_t kLeast = 3;
constexpr double kLongTone_s = 3.0;

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// 1970-01-01 was a Thursday.
std::int64_t monday_of(std::int64_t day) {
    return day - (((day + 3) % 7) + 7) % 7;
}

} // namespace

std::vector<BalanceWeek> balance_weeks(const std::vector<logbook::BalanceRecord>& records) {
    std::map<std::int64_t, BalanceWeek> weeks;
    std::map<std::int64_t, std::vector<double>> wobbles;
    for (const logbook::BalanceRecord& record : records) {
        const std::int64_t monday = monday_of(record.day);
        BalanceWeek& week = weeks[monday];
        week.monday = monday;
        ++week.tones;
        week.told += static_cast<int>(record.told);
        week.jolts += static_cast<int>(record.jolts);
        wobbles[monday].push_back(record.wobble_cents);
    }
    std::vector<BalanceWeek> out;
    for (auto& [monday, week] : weeks) {
        week.wobble_cents = median(std::move(wobbles[monday]));
        out.push_back(week);
    }
    return out;
}

std::optional<double> quiet_wobble(const std::vector<logbook::BalanceRecord>& records) {
    std::vector<double> wobbles;
    for (auto record = records.rbegin(); record != records.rend() && wobbles.size() < kNewest;
         ++record) {
        if (record->moves == 0 && record->duration_s >= kLongTone_s) {
            wobbles.push_back(record->wobble_cents);
        }
    }
    return wobbles.size() < kLeast ? std::nullopt : std::optional(median(std::move(wobbles)));
}

} // namespace bellhand::progress
