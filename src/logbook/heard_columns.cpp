#include "logbook/heard_columns.h"

#include "logbook/sqlite_logbook.h"

#include <array>
#include <utility>

namespace bellhand::logbook {

namespace {

constexpr std::array kAdvice{
    std::pair{hand::AdviceKind::nothing, "nothing"},
    std::pair{hand::AdviceKind::hand_closed, "hand-closed"},
    std::pair{hand::AdviceKind::hand_open, "hand-open"},
    std::pair{hand::AdviceKind::lips_low, "lips-low"},
    std::pair{hand::AdviceKind::lips_high, "lips-high"},
    std::pair{hand::AdviceKind::other_position, "other-position"},
    std::pair{hand::AdviceKind::hand_or_lips, "hand-or-lips"},
    std::pair{hand::AdviceKind::unsure, "unsure"},
};
constexpr std::array kSways{
    std::pair{hand::Sway::none, "none"},
    std::pair{hand::Sway::hand, "hand"},
    std::pair{hand::Sway::lips, "lips"},
    std::pair{hand::Sway::breath, "breath"},
};

template <typename Table, typename Value>
const char* id_in(const Table& table, Value value) noexcept {
    for (const auto& [known, id] : table) {
        if (known == value) {
            return id;
        }
    }
    return "";
}

template <typename Table, typename Value>
Value value_in(const Table& table, const std::string& id, Value otherwise) noexcept {
    for (const auto& [value, known] : table) {
        if (id == known) {
            return value;
        }
    }
    return otherwise;
}

void bind_nulls(Statement& statement, int count) {
    for (int i = 0; i < count; ++i) {
        statement.bind(std::nullopt);
    }
}

} // namespace

const char* advice_id(hand::AdviceKind kind) noexcept {
    return id_in(kAdvice, kind);
}

const char* sway_id(hand::Sway sway) noexcept {
    return id_in(kSways, sway);
}

void bind_heard(Statement& statement, const hand::NoteHand& heard) {
    const hand::Position& position = heard.estimate.position;
    if (heard.heard && position.known) {
        statement.bind(std::string_view(horn::hand_id(position.degree)))
            .bind(position.closure)
            .bind(position.low)
            .bind(position.high)
            .bind(position.confidence);
    } else {
        bind_nulls(statement, 5);
    }
    if (heard.heard) {
        statement.bind(std::string_view(advice_id(heard.advice.kind)))
            .bind(heard.advice.hand_cents)
            .bind(heard.advice.lips_cents)
            .bind(heard.advice.confidence);
    } else {
        bind_nulls(statement, 4);
    }
    if (heard.heard && heard.match.known) {
        statement.bind(heard.match.loudness_db)
            .bind(heard.match.centroid_octaves)
            .bind(heard.match.uneven_db);
    } else {
        bind_nulls(statement, 3);
    }
    if (heard.heard && heard.steadiness.known) {
        statement.bind(heard.steadiness.unsteady_cents)
            .bind(heard.steadiness.drift_cents_per_s)
            .bind(heard.steadiness.tremor_cents)
            .bind(heard.steadiness.tremor_hz)
            .bind(std::string_view(sway_id(heard.steadiness.sway)));
    } else {
        bind_nulls(statement, 5);
    }
}

hand::NoteHand heard_from(const Statement& row, int first) {
    hand::NoteHand heard;
    hand::Position& position = heard.estimate.position;
    position.known = !row.null(first);
    if (position.known) {
        position.degree = hand_from(row.text(first));
        position.closure = row.real(first + 1);
        position.low = row.real(first + 2);
        position.high = row.real(first + 3);
        position.confidence = row.real(first + 4);
    }
    heard.heard = !row.null(first + 5);
    if (heard.heard) {
        heard.advice.kind = value_in(kAdvice, row.text(first + 5), hand::AdviceKind::unsure);
        heard.advice.hand_cents = row.real(first + 6);
        heard.advice.lips_cents = row.real(first + 7);
        heard.advice.confidence = row.real(first + 8);
    }
    heard.match.known = !row.null(first + 9);
    if (heard.match.known) {
        heard.match.loudness_db = row.real(first + 9);
        heard.match.centroid_octaves = row.real(first + 10);
        heard.match.uneven_db = row.real(first + 11);
    }
    heard.steadiness.known = !row.null(first + 12);
    if (heard.steadiness.known) {
        heard.steadiness.unsteady_cents = row.real(first + 12);
        heard.steadiness.drift_cents_per_s = row.real(first + 13);
        heard.steadiness.tremor_cents = row.real(first + 14);
        heard.steadiness.tremor_hz = row.real(first + 15);
        heard.steadiness.sway = value_in(kSways, row.text(first + 16), hand::Sway::none);
    }
    return heard;
}

} // namespace bellhand::logbook
