import DooryardCore
import Foundation
import Testing

/// One line of `expected.json`: a reply, those taken before it, and what becomes of it.
struct Expected: Decodable, Equatable, Sendable, CustomTestStringConvertible {
    let file: String
    let after: [String]
    var code: String?
    var retry: String?
    var sentence: String?
    var number: UInt64
    var records: UInt64
    var received: UInt64
    var photosReceived: UInt64
    var waiting: [String]
    var restored: Bool

    var testDescription: String { "\(file) after \(after)" }

    /// The golden replies, in order.
    static let all: [Expected] = {
        struct Table: Decodable { let toPhone: [Expected] }
        let decoder = JSONDecoder()
        decoder.keyDecodingStrategy = .convertFromSnakeCase
        guard let data = try? Data(contentsOf: Places.golden.appendingPathComponent("expected.json")),
            let table = try? decoder.decode(Table.self, from: data)
        else { return [] }
        return table.toPhone
    }()
}

/// The golden replies, each taken on a copy of the golden phone.
@Suite struct GoldenTests {
    @Test(arguments: Expected.all) func everyReplyHasItsExpectedOutcome(_ expected: Expected) throws {
        let folder = try Folder()
        try FileManager.default.copyItem(
            atPath: Places.golden.appendingPathComponent("phone").path, toPath: folder.path("phone"))
        let notebook = try FieldNotebook.open(path: folder.path("phone"), secrets: MemorySecrets())
        for earlier in expected.after {
            _ = try take(earlier, notebook)
        }
        if expected.code == nil {
            let reply = try take(expected.file, notebook)
            let got = Expected(
                file: expected.file, after: expected.after, number: reply.number, records: reply.records,
                received: reply.received, photosReceived: reply.photosReceived, waiting: reply.waiting.map(\.code),
                restored: reply.restored)
            #expect(got == expected)
            return
        }
        let before = try notebook.list(request: ListRequest())
        guard
            case .Refused(let code, let retry, let sentence)? = thrown(by: { _ = try take(expected.file, notebook) })
        else {
            Issue.record("\(expected.file) was taken")
            return
        }
        let words: [Retry: String] = [
            .never: "never", .later: "later", .afterUpgrade: "after_upgrade", .afterPerson: "after_person",
        ]
        #expect([code, words[retry], sentence.en] == [expected.code, expected.retry, expected.sentence])
        #expect(try notebook.list(request: ListRequest()) == before, "nothing was changed")
    }

    @Test func everyReplyIsInTheTable() throws {
        let there = try FileManager.default.contentsOfDirectory(
            atPath: Places.golden.appendingPathComponent("to-phone").path)
        #expect(Set(there) == Set(Expected.all.map(\.file)))
        #expect(there.count > 15)
    }

    private func take(_ name: String, _ notebook: FieldNotebook) throws -> ReplyView {
        try notebook.takeReply(path: Places.golden.appendingPathComponent("to-phone/\(name)").path)
    }
}
