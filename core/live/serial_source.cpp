// SPDX-License-Identifier: GPL-3.0-or-later
#include "live/serial_source.h"

#include <QSerialPort>

namespace holdfast
{

namespace
{

QSerialPort::Parity parityOf(char letter)
{
    return letter == 'E'   ? QSerialPort::EvenParity
           : letter == 'O' ? QSerialPort::OddParity
                           : QSerialPort::NoParity;
}

} // namespace

SerialSource::SerialSource(FeedAddress address, HostClock clock, BackOff backOff, QObject *parent)
    : ReconnectingSource(std::move(clock), backOff, parent), m_address(std::move(address)),
      m_port(new QSerialPort(this))
{
    connect(m_port, &QSerialPort::readyRead, this, [this] { take(m_port->readAll()); });
    connect(m_port, &QSerialPort::errorOccurred, this, [this](QSerialPort::SerialPortError error) {
        if (error != QSerialPort::NoError && isOpen())
            lost(tr("%1 was lost: %2").arg(m_address.path, m_port->errorString()));
    });
}

void SerialSource::open()
{
    m_port->setPortName(m_address.path);
    m_port->setBaudRate(m_address.baud);
    m_port->setDataBits(static_cast<QSerialPort::DataBits>(m_address.dataBits));
    m_port->setParity(parityOf(m_address.parity));
    m_port->setStopBits(m_address.stopBits == 2 ? QSerialPort::TwoStop : QSerialPort::OneStop);
    if (!m_port->open(QIODevice::ReadOnly))
        return lost(tr("%1 can't be opened: %2").arg(m_address.path, m_port->errorString()));
    opened();
}

void SerialSource::shut()
{
    if (m_port->isOpen())
        m_port->close();
}

} // namespace holdfast
