#pragma once

#include "desk/session.h"
#include "desk/sheets/sheet.h"

#include <array>
#include <optional>
#include <string>

namespace bellhand::desk {

/// Pitches that ensembles with natural horns often choose (common practice, no source).
inline constexpr std::array kOftenUsedA4_hz{415.0, 430.0, 435.0, 440.0, 442.0};

/// The crook that is put on.
class CrookSheet : public SheetPage {
public:
    explicit CrookSheet(const Session& session) : session_(session) {}
    void enter() override;
    [[nodiscard]] int rows() const override;
    void accept() override;

private:
    const Session& session_;
};

/// The temperament, and where it stands: its root, what is its anchor, and the black key that a meantone has only once.
class TemperamentSheet : public SheetPage {
public:
    explicit TemperamentSheet(const Session& session) : session_(session) {}
    void enter() override;
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] int rows() const override;
    void accept() override;

    /// The rows after the temperaments.
    enum class FootingRow { root, anchor, black_key };
    /// Of a row, or empty where a temperament stands.
    [[nodiscard]] static std::optional<FootingRow> footing_row(int row) noexcept;
    /// What stands there: "the crook's key, E♭".
    [[nodiscard]] std::string value_of(FootingRow row) const;
    /// Why three targets stand where they do: "Written E: a pure major third above E♭."
    [[nodiscard]] std::string targets_in_words() const;

private:
    void turn(int step);

    const Session& session_;
};

/// The pitch of the day, typed or moved.
class PitchSheet : public SheetPage {
public:
    explicit PitchSheet(Session& session) : session_(session) {}
    void enter() override { typed_.clear(); }
    [[nodiscard]] KeyTable keys() override;
    [[nodiscard]] int rows() const override { return 0; }
    void accept() override;

    /// What was typed so far.
    [[nodiscard]] const std::string& typed() const noexcept { return typed_; }

private:
    void move(double step_hz);
    void type(const Press& press);
    void next_often_used();

    Session& session_;
    std::string typed_;
};

} // namespace bellhand::desk
