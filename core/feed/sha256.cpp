// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/sha256.h"

#include <openssl/evp.h>

namespace holdfast
{

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

Result<QByteArray> Sha256::finish()
{
    QByteArray sum(EVP_MAX_MD_SIZE, '\0');
    unsigned int size = 0;
    m_sound = m_sound &&
              EVP_DigestFinal_ex(m_context.get(), reinterpret_cast<unsigned char *>(sum.data()), &size) == 1;
    if (!m_sound)
        return fail(ErrorKind::Internal,
                    QStringLiteral("The crypto library could not compute a SHA-256 sum."));
    sum.truncate(static_cast<qsizetype>(size));
    return sum;
}

} // namespace holdfast
