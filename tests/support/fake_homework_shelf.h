#pragma once

#include "desk/store/homework_shelf.h"

#include <algorithm>
#include <map>

namespace bellhand::test {

/// Homework in the hands of a test.
class FakeHomeworkShelf : public desk::HomeworkShelf {
public:
    std::string refuses; ///< not empty: what is asked is answered with this sentence
    desk::OpenedHomework opened;
    std::vector<homework::Given> to_do;
    std::map<std::string, std::vector<homework::WorkTake>> work_takes;
    std::map<std::string, std::string> kept_words;
    std::vector<skill::PlannedBlock> blocks;
    std::vector<homework::Filed> files;
    std::optional<homework::Homework> kept_draft;
    std::vector<std::int64_t> sent_takes;
    std::string sent_words;
    std::optional<std::filesystem::path> profile;
    std::vector<homework::Homework> sets;
    std::optional<std::size_t> heard_take;
    double heard_from_s = 0.0;
    desk::ListeningStatus status;

    Result<desk::OpenedHomework> take_file(const std::filesystem::path& /*file*/) override {
        return answer(opened);
    }
    std::string today() const override { return "2026-03-02"; }
    std::string now() const override { return "2026-03-02T10:00:00Z"; }
    Result<std::vector<homework::Given>> given() override { return answer(to_do); }
    Result<std::vector<homework::WorkTake>> takes(const std::string& id) override {
        return answer(work_takes[id]);
    }
    std::vector<skill::PlannedBlock> work(const homework::Given& /*given*/,
                                          const horn::Crook& /*usual*/) override {
        return blocks;
    }
    Result<std::string> words(const std::string& id) override { return answer(kept_words[id]); }
    Result<void> keep_words(const std::string& id, const std::string& words) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        kept_words[id] = words;
        return {};
    }
    Result<std::filesystem::path> give_back(const std::string& id,
                                            const std::string& words,
                                            const std::vector<std::int64_t>& takes) override {
        sent_words = words;
        sent_takes = takes;
        return answer(std::filesystem::path("/back/" + id + ".hornwork"));
    }
    Result<logbook::HomeworkRecord> remove_given(const std::string& id) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        const auto gone = std::find_if(
            to_do.begin(), to_do.end(), [&](const auto& one) { return one.homework.id == id; });
        removed_ = *gone;
        to_do.erase(gone);
        logbook::HomeworkRecord record;
        record.id = id;
        return record;
    }
    Result<void> restore_given(const logbook::HomeworkRecord& /*record*/) override {
        to_do.push_back(removed_);
        return {};
    }
    void use_profile(std::optional<std::filesystem::path> wanted) override {
        profile = std::move(wanted);
    }
    std::vector<homework::Filed> filed() override { return files; }
    Result<std::filesystem::path> set(const homework::Homework& homework) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        sets.push_back(homework);
        homework::Filed filed;
        filed.file = "/set/new.hornwork";
        filed.homework = homework;
        files.insert(files.begin(), filed);
        return filed.file;
    }
    Result<std::optional<homework::Homework>> draft() override { return answer(kept_draft); }
    Result<void> keep_draft(const std::optional<homework::Homework>& draft) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        kept_draft = draft;
        return {};
    }
    Result<void> put_comments(const std::filesystem::path& file,
                              const std::vector<homework::Comment>& comments) override {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        for (homework::Filed& one : files) {
            if (one.file == file) {
                one.homework.comments = comments;
            }
        }
        return {};
    }
    Result<void> remove_file(const std::filesystem::path& file) override {
        const auto gone = std::find_if(
            files.begin(), files.end(), [&](const auto& one) { return one.file == file; });
        put_aside_ = *gone;
        files.erase(gone);
        return {};
    }
    Result<void> restore_file(const std::filesystem::path& /*file*/) override {
        files.push_back(put_aside_);
        return {};
    }
    Result<std::filesystem::path> hand_out(const std::filesystem::path& file) override {
        return file;
    }
    Result<void> listen(const std::filesystem::path& /*file*/,
                        std::size_t take,
                        double from_s,
                        double speed) override {
        heard_take = take;
        heard_from_s = from_s;
        status = {true, from_s, speed, {}};
        return {};
    }
    void stop_listening() override { status = {}; }
    desk::ListeningStatus listening() override { return status; }

private:
    template <class Value>
    [[nodiscard]] Result<Value> answer(const Value& value) const {
        if (!refuses.empty()) {
            return failure(refuses);
        }
        return value;
    }

    homework::Given removed_;
    homework::Filed put_aside_;
};

} // namespace bellhand::test
