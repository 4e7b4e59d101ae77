// SPDX-License-Identifier: GPL-3.0-or-later
#include "cruise_writer.h"

#include "custody/tally.h"

namespace holdfast
{

CruiseWriter::CruiseWriter(QObject *parent) : QObject(parent), m_onThread(std::make_unique<QObject>())
{
    m_thread.setObjectName(QStringLiteral("cruise writer"));
    m_onThread->moveToThread(&m_thread);
    m_thread.start();
}

CruiseWriter::~CruiseWriter()
{
    // The connection must be closed on the thread that opened it.
    QMetaObject::invokeMethod(
        m_onThread.get(),
        [this] {
            m_file.reset();
            m_next.reset();
        },
        Qt::BlockingQueuedConnection);
    m_thread.quit();
    m_thread.wait();
}

void CruiseWriter::prepare(const QString &path, QObject *receiver, Reply reply)
{
    const QPointer<QObject> to(receiver);
    QMetaObject::invokeMethod(m_onThread.get(), [this, path, to, reply = std::move(reply)] {
        m_next.reset();
        auto opened = CruiseFile::open(path, Database::Access::ReadWrite, allVerbRules());
        if (opened)
            m_next = std::make_unique<CruiseFile>(std::move(*opened));
        deliver(to, reply, opened ? Done() : Done(opened.error()));
    });
}

void CruiseWriter::change()
{
    QMetaObject::invokeMethod(m_onThread.get(), [this] {
        if (m_next)
            m_file = std::move(m_next);
    });
}

void CruiseWriter::submit(Work work, QObject *receiver, Reply reply)
{
    const QPointer<QObject> to(receiver);
    QMetaObject::invokeMethod(m_onThread.get(), [this, work = std::move(work), to, reply = std::move(reply)] {
        deliver(to, reply,
                m_file ? work(*m_file)
                       : Done(fail(ErrorKind::NotFound, QStringLiteral("No cruise file is open."))));
    });
}

void CruiseWriter::deliver(const QPointer<QObject> &receiver, const Reply &reply, const Done &done)
{
    QMetaObject::invokeMethod(this, [receiver, reply, done] {
        if (receiver)
            reply(done);
    });
}

} // namespace holdfast
