import DooryardCore
import Foundation

/// Secrets in memory in the place of a phone's own store: what one wrapped only one of the same name opens. They
/// protect nothing: `tests/tests/phones.rs` opens with the name alone what the tests leave.
final class MemorySecrets: Secrets, @unchecked Sendable {
    /// The name of the secrets of a notebook that a test leaves for the office.
    static let known = "a phone left by a test"

    /// What every call throws from now on.
    var throwing: (any Error)?

    /// The keys that were wrapped, in the clear.
    private(set) var keys: [Data] = []

    private let name: Data

    init(name: String = UUID().uuidString) {
        self.name = Data(name.utf8)
    }

    func wrap(key: Data) throws -> Data {
        if let throwing { throw throwing }
        keys.append(key)
        return name + turned(key)
    }

    func unwrap(wrapped: Data) throws -> Data {
        if let throwing { throw throwing }
        guard wrapped.starts(with: name) else { throw SecretsError.Foreign }
        return turned(wrapped.dropFirst(name.count))
    }

    private func turned(_ bytes: Data) -> Data {
        let pad = [UInt8](name)
        return Data(bytes.enumerated().map { $1 ^ pad[$0 % pad.count] })
    }
}

/// Secrets that pass the key on as it is.
final class IdleSecrets: Secrets, @unchecked Sendable {
    func wrap(key: Data) throws -> Data { Data("x".utf8) + key }

    func unwrap(wrapped: Data) throws -> Data { wrapped.dropFirst() }
}
