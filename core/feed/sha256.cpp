// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/sha256.h"

#include <openssl/evp.h>

namespace holdfast
{

namespace
{

Error couldNot()
{
    return fail(ErrorKind::Internal, QStringLiteral("The crypto library could not compute a SHA-256 sum."));
}

} // namespace

void Sha256::FreeContext::operator()(evp_md_ctx_st *context) const
{
    EVP_MD_CTX_free(context);
}

Sha256::Sha256() : m_context(EVP_MD_CTX_new())
{
    m_sound = m_context && EVP_DigestInit_ex(m_context.get(), EVP_sha256(), nullptr) == 1;
}

void Sha256::add(std::string_view bytes)
{
    m_sound = m_sound && EVP_DigestUpdate(m_context.get(), bytes.data(), bytes.size()) == 1;
}

Result<Sha256::Sum> Sha256::sumOf(std::string_view bytes)
{
    Sum sum{};
    // Without a type the context keeps the algorithm it has, which saves looking it up each time.
    m_sound = m_sound && EVP_DigestInit_ex2(m_context.get(), nullptr, nullptr) == 1;
    add(bytes);
    m_sound = m_sound && EVP_DigestFinal_ex(m_context.get(), sum.data(), nullptr) == 1;
    if (!m_sound)
        return couldNot();
    return sum;
}

Result<QByteArray> Sha256::finish()
{
    QByteArray sum(EVP_MAX_MD_SIZE, '\0');
    unsigned int size = 0;
    m_sound = m_sound &&
              EVP_DigestFinal_ex(m_context.get(), reinterpret_cast<unsigned char *>(sum.data()), &size) == 1;
    if (!m_sound)
        return couldNot();
    sum.truncate(static_cast<qsizetype>(size));
    return sum;
}

} // namespace holdfast
