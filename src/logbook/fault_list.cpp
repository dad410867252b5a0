#include "logbook/fault_list.h"

#include <algorithm>

namespace bellhand::logbook {

std::string fault_list(const std::vector<drill::Fault>& faults) {
    std::string list;
    for (const drill::Fault fault : faults) {
        list += list.empty() ? "" : " ";
        list += drill::fault_id(fault);
    }
    return list;
}

std::vector<drill::Fault> faults_from(std::string_view list) {
    std::vector<drill::Fault> faults;
    for (std::size_t at = 0; at < list.size();) {
        const std::size_t end = std::min(list.find(' ', at), list.size());
        if (const auto fault = drill::fault_from_id(list.substr(at, end - at)); fault) {
            faults.push_back(*fault);
        }
        at = end + 1;
    }
    return faults;
}

} // namespace bellhand::logbook
