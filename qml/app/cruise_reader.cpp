// SPDX-License-Identifier: GPL-3.0-or-later
#include "cruise_reader.h"

#include "custody/tally.h"

namespace holdfast
{

CruiseReader::CruiseReader(QObject *parent) : QObject(parent), m_onThread(std::make_unique<QObject>())
{
    m_thread.setObjectName(QStringLiteral("cruise looker-up"));
    m_onThread->moveToThread(&m_thread);
    m_thread.start();
}

CruiseReader::~CruiseReader()
{
    // The connection must be closed on the thread that opened it.
    QMetaObject::invokeMethod(
        m_onThread.get(), [this] { m_file.reset(); }, Qt::BlockingQueuedConnection);
    m_thread.quit();
    m_thread.wait();
}

void CruiseReader::onThread(std::function<void()> work)
{
    QMetaObject::invokeMethod(m_onThread.get(), std::move(work));
}

void CruiseReader::onCaller(std::function<void()> work)
{
    QMetaObject::invokeMethod(this, std::move(work));
}

Done CruiseReader::openFile(const QString &path)
{
    if (m_file && m_file->db().path() == path)
        return {};
    m_file.reset();
    auto opened = CruiseFile::open(path, Database::Access::ReadOnly, allVerbRules());
    if (!opened)
        return opened.error();
    m_file = std::make_unique<CruiseFile>(std::move(*opened));
    return {};
}

} // namespace holdfast
